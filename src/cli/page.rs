//! Words of the page for a phone.

use std::path::PathBuf;

use clap::Args;

use super::common::Scenario;
use super::work::{Work, alone, on};
use crate::commands;
use crate::commands::page::To;
use crate::request::Input;

#[derive(Args)]
#[command(before_long_help = "\
Examples:
  kentledge page kart.yaml -o kart.html
  kentledge page kart.yaml --site kart
  kentledge page kart.yaml --serve --lan")]
pub(super) struct Page {
    /// The scenario that it opens with [default: the first one that `new` writes]
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
    /// For a web host: a folder with the page and what a phone needs to install it and to open it without network
    #[arg(long, value_name = "FOLDER", conflicts_with = "output")]
    site: Option<PathBuf>,
    /// Show it to a browser on this machine until Ctrl-C
    #[arg(long, conflicts_with_all = ["output", "site"])]
    serve: bool,
    /// With `--serve`: to every phone on this network that is given the address, which is shown as a code as well
    #[arg(long, requires = "serve")]
    lan: bool,
}

impl Page {
    pub(super) fn work(self) -> (Option<Input>, Work) {
        let Page { file, site, serve, lan } = self;
        let to = match site {
            Some(folder) => To::Folder(folder),
            None if serve => To::Phones { lan },
            None => To::Screen,
        };
        match file {
            Some(file) => {
                on(Scenario::of(file).input(), move |reading| commands::page::of_file(reading, &to))
            }
            None => alone(move |run| commands::page::of_starter(run, &to)),
        }
    }
}
