//! The whole tool behind one typed request and one typed answer, for a page that has no command line.
//! Takes a scenario as text with what was bolted and typed since; gives data, and markup that is made elsewhere. Keeps nothing
//! between two requests and reads no clock.

mod ready;
mod reply;
mod shell;

use std::time::Duration;

use serde::Deserialize;

pub use reply::Reply;
pub use shell::{Contents, page, site};

use crate::answer::typed::Typed;
use crate::patience::{Patience, share};
use ready::Ready;

/// What a page wants to know.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Request {
    /// What the file is called.
    name: String,
    /// The file.
    text: String,
    /// What was bolted since, of a plan for that file.
    #[serde(default)]
    bolted: Option<Bolted>,
    /// What was typed since, as the pads show it.
    #[serde(default)]
    pads: Option<Pads>,
    /// What is asked.
    asks: Asks,
}

/// A question.
#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum Asks {
    /// What the file says, and the file itself once what was bolted and typed is written into it.
    Kart,
    /// The same with another word at a place of the file.
    Set {
        path: Vec<String>,
        word: String,
    },
    /// What the pads say, as far as they are typed.
    Look,
    /// What is to be done, with `leave` left as it is.
    Plan {
        leave: Vec<Place>,
        seconds: f64,
    },
    /// How the kart stands with what was bolted.
    Stand,
    Swap {
        seconds: f64,
    },
    Card {
        seconds: f64,
    },
    Log,
    /// The order of a good weighing.
    HowTo,
}

/// Where something is done: a mount or an adjuster, by its place in the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, serde::Serialize)]
#[serde(rename_all = "snake_case")]
enum Place {
    Mount(usize),
    Adjuster(usize),
}

/// A plan, and where it has been carried out.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Bolted {
    planned: Planned,
    done: Vec<Place>,
}

/// What a plan has where.
#[derive(Clone, Debug, Deserialize, serde::Serialize)]
#[serde(deny_unknown_fields)]
struct Planned {
    /// Kind, mount, pieces.
    lead: Vec<(usize, usize, u32)>,
    /// Of each adjuster.
    settings: Vec<u16>,
}

/// A weighing as far as it is typed.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Pads {
    /// LF RF LR RR of one set after the other; empty where nothing is typed yet.
    readings: Vec<String>,
    driver: Option<String>,
    fuel: Option<String>,
    lead: Option<String>,
    turned: Option<String>,
    set_up: Option<String>,
    date: String,
    note: Option<String>,
}

impl Pads {
    fn typed(&self) -> Typed {
        let Pads { readings, driver, fuel, lead, turned, set_up, date, note } = self.clone();
        Typed { readings, driver, fuel, lead, turned, set_up, date, note, ..Typed::default() }
    }

    /// Whether every field has something in it.
    fn is_whole(&self) -> bool {
        !self.readings.is_empty() && self.readings.iter().all(|typed| !typed.trim().is_empty())
    }
}

/// The first look takes such a part of the time, so that whoever stops a long search has something; of a plan it is told before
/// what would help, which takes many times as long.
const FIRST_LOOK: f64 = 0.15;

/// Which of two.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Look {
    First,
    Last,
}

/// Answers a request. `elapsed` tells how long ago it came; `say` may be called several times, each answer better than the one
/// before.
pub fn answer(request: &str, elapsed: &dyn Fn() -> Duration, say: &mut dyn FnMut(&Reply)) {
    let request: Request = match serde_json::from_str(request) {
        Ok(request) => request,
        Err(error) => {
            return say(&Reply::refused(error.to_string(), "this is a fault of the page; load it anew"));
        }
    };
    let wants_pads = !matches!(request.asks, Asks::Look);
    let ready = match Ready::new(&request, wants_pads) {
        Ok(ready) => ready,
        Err(reply) => return say(&reply),
    };
    // Twice, as nothing can ask a search to end whose thread it has.
    let mut searched = |seconds: f64, find: &dyn Fn(Patience, Look) -> (Reply, bool)| {
        for look in [Look::First, Look::Last] {
            let part = if look == Look::First { FIRST_LOOK } else { 1.0 };
            let (began, time) = (elapsed(), Duration::from_secs_f64(part * seconds.clamp(0.1, 3600.0)));
            let used = || share(elapsed().saturating_sub(began), time);
            let (reply, is_last) = find(Patience::new(&used), look);
            say(&reply);
            if is_last {
                return;
            }
        }
    };
    match &request.asks {
        Asks::Kart => say(&ready.kart()),
        Asks::Set { path, word } => say(&ready.set(path, word)),
        Asks::Look => say(&ready.look(request.pads.as_ref())),
        Asks::Stand => say(&ready.stand()),
        Asks::Plan { leave, seconds } => {
            searched(*seconds, &|patience, look| ready.plan(leave, elapsed, patience, look));
        }
        Asks::Swap { seconds } => searched(*seconds, &|patience, _| ready.swap(elapsed, patience)),
        Asks::Card { seconds } => searched(*seconds, &|patience, _| ready.card(patience)),
        Asks::Log => say(&ready.log()),
        Asks::HowTo => say(&ready.how_to()),
    }
}
