//! A weighing given on a command line instead of in a file: four readings, and three lengths if they are
//! known.

use super::bounds;
use crate::diagnosis::Dimension;
pub use crate::document::Refused;
use crate::document::line;
use crate::units::{Length, Mass, UnitSystem};

/// One pad's reading, and the units it was written in. `units` are those of a bare number; fails without any.
pub fn reading(text: &str, corner: &str, units: Option<UnitSystem>) -> Result<(Mass, UnitSystem), Refused> {
    let (read, written_in) = line::read(text, corner, units, (Dimension::Mass, bounds::READING))?;
    Ok((read.mass(), written_in))
}

/// The wheelbase or a track. `units` are those of a bare number; fails without any.
pub fn length(text: &str, key: &str, units: Option<UnitSystem>) -> Result<Length, Refused> {
    let bounds = if key == "wheelbase" { bounds::WHEELBASE } else { bounds::TRACK };
    line::read(text, key, units, (Dimension::Length, bounds)).map(|(read, _)| read.length())
}
