//! Which lead, on which mounts: makes a racing kart legal and balanced with the least work.
//!
//! A kart stated, solved, and its plan read:
//!
//! ```
//! use kentledge::scenario::Scenario;
//! use kentledge::solve::{Answer, Patience, solve};
//! use kentledge::units::Mass;
//!
//! let text = "
//! units: kg-mm
//! kart: {name: kart 7, wheelbase: 1040, track_front: 1080, track_rear: 1120}
//! class: {name: club senior, minimum: 150, margin: 0.5}
//! targets:
//!   front: {aim: 43, within: 0.6}
//!   left: {aim: 50, within: 0.8}
//! weighing:
//!   scales: {lf: 30.4, rf: 31.6, lr: 40.5, rr: 43}
//!   aboard: {driver: Sam, fuel: none, lead: none}
//! drivers: {Sam: {mass: 70}}
//! mounts:
//!   seat: {x: 260, y: 270, capacity: 5}
//!   floor: {x: 820, y: 60, capacity: 5}
//! lead: {block: {mass: 2.5, count: 2}}
//! ";
//! let (scenario, warnings) = Scenario::from_yaml(text).map_err(|faults| format!("{faults:?}"))?;
//! assert!(warnings.is_empty());
//!
//! // Alone it weighs 145.5 kg: both blocks are needed, and only one on each mount meets both
//! // targets.
//! let answer = solve(&scenario, scenario.driver(), Patience::ENDLESS);
//! let Ok(Answer::Plan(solved)) = answer else { return Err(format!("{answer:?}")) };
//! let plan = solved.plan.measured();
//! assert!(plan.all_on_target() && solved.is_best_possible());
//! assert_eq!(plan.worth.total, Mass::from_kg(150.5));
//! let on_each = [0, 1].map(|mount| plan.lead_on(&scenario, mount));
//! assert_eq!(on_each, [Mass::from_kg(2.5); 2]);
//! # Ok::<(), String>(())
//! ```
//!
//! The road of the data:
//!
//! 1. [`document`]: YAML text to what was written, which can be wrong
//! 2. [`scenario`]: the validated world, which cannot be wrong
//! 3. [`weighing`]: readings to a base, a base to the corners of any state, by [`statics`]; [`uncertainty`]: how sure they
//!    are, and [`inspection`]: what must be on board to pass
//! 4. [`model`]: the integer program as plain data
//! 5. [`search`] and [`solve`]: goals in order, counts and what was proved
//! 6. [`plan`]: the judge measures the counts again
//! 7. [`answer`]: what a command has found, as data; with [`assess`], what it means
//! 8. [`blocks`] and [`page`]: the same as a page, for a terminal, for rows, for paper
//!
//! Beside the road: [`least_squares`], for what a kart's own weighings teach; and [`tasks`], the commands that need
//! more than one solve; [`hardware`] counts the bolts for their plans.

pub mod answer;
pub mod assess;
pub mod blocks;
pub mod counts;
pub mod date;
pub mod decimals;
pub mod diagnosis;
pub mod document;
pub mod doubts;
pub mod drawing;
pub mod engine;
pub mod export;
pub mod goal;
pub mod hardware;
pub mod height;
pub mod imprint;
pub mod inspection;
pub mod least_squares;
pub mod marks;
pub mod model;
pub mod orders;
pub mod page;
pub mod patience;
pub mod phone;
pub mod plan;
pub mod quantity;
pub mod questions;
pub mod scale;
pub mod scenario;
pub mod search;
pub mod solve;
pub mod statics;
pub mod tasks;
pub mod uncertainty;
pub mod units;
pub mod weighing;
mod wrapping;
