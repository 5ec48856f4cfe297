//! Runs of the built program for the tests of the edge.

use std::io::Write;
use std::process::{Child, Command, Output, Stdio};

/// A run without the surroundings of whoever runs the tests.
pub(crate) fn kentledge(arguments: &[&str]) -> Command {
    let mut command = Command::new(assert_cmd::cargo::cargo_bin!("kentledge"));
    command.current_dir(env!("CARGO_MANIFEST_DIR")).args(arguments);
    for name in ["COLUMNS", "NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "TERM"] {
        command.env_remove(name);
    }
    command
}

/// What a run left behind.
pub(crate) struct Run {
    pub(crate) code: Option<i32>,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
}

impl From<Output> for Run {
    fn from(output: Output) -> Run {
        let text = |bytes| String::from_utf8(bytes).expect("the program writes UTF-8");
        Run { code: output.status.code(), stdout: text(output.stdout), stderr: text(output.stderr) }
    }
}

pub(crate) fn run(arguments: &[&str]) -> Run {
    kentledge(arguments).output().expect("the program starts").into()
}

pub(crate) fn run_with_stdin(arguments: &[&str], text: &str) -> Run {
    let mut child = piped(&mut kentledge(arguments));
    let mut stdin = child.stdin.take().expect("stdin is piped");
    stdin.write_all(text.as_bytes()).expect("the program reads its stdin");
    drop(stdin);
    child.wait_with_output().expect("the program ends").into()
}

pub(crate) fn piped(command: &mut Command) -> Child {
    command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts")
}
