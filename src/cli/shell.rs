//! Completions for the shells, made from the same declarations as the parser.

use clap::{Command, ValueEnum};

/// A shell that completes.
#[derive(Clone, Copy, ValueEnum)]
pub(super) enum Shell {
    Bash,
    Zsh,
    Fish,
    Powershell,
}

impl Shell {
    /// How people install what is printed, as a remark of that shell.
    const fn install(self) -> &'static str {
        match self {
            Shell::Bash => {
                "# kentledge completions bash > ~/.local/share/bash-completion/completions/kentledge"
            }
            Shell::Zsh => {
                "# kentledge completions zsh > ~/.zfunc/_kentledge  (in .zshrc: fpath+=~/.zfunc; compinit)"
            }
            Shell::Fish => "# kentledge completions fish > ~/.config/fish/completions/kentledge.fish",
            Shell::Powershell => {
                "# kentledge completions powershell | Out-File -Append -Encoding utf8 $PROFILE"
            }
        }
    }

    /// The script, with the line that installs it on top.
    pub(super) fn completions(self, line: &mut Command) -> String {
        let generator = match self {
            Shell::Bash => clap_complete::Shell::Bash,
            Shell::Zsh => clap_complete::Shell::Zsh,
            Shell::Fish => clap_complete::Shell::Fish,
            Shell::Powershell => clap_complete::Shell::PowerShell,
        };
        let mut script = Vec::new();
        clap_complete::generate(generator, line, "kentledge", &mut script);
        let script = String::from_utf8_lossy(&script);
        // A zsh function must begin with its own first line.
        match script.split_once('\n') {
            Some((first, rest)) if first.starts_with("#compdef") => {
                format!("{first}\n{}\n{rest}", self.install())
            }
            _ => format!("{}\n{script}", self.install()),
        }
    }
}
