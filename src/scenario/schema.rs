//! The format of a scenario file as a JSON Schema (draft 2020-12), for editors and validators.
//! Takes the declaration of the format; gives one document, the same every time.
//! Says what is certain without reading the whole file: bounds that `limits: off` may lift are told, not demanded.

use super::keys::File;
use crate::document::block::Block;
use crate::document::form::written_quantities;

/// The name of the file that `new` writes beside a scenario.
pub const FILE: &str = "kentledge.schema.json";

/// Its title, by which a file that `new` has written before is known again.
pub const TITLE: &str = "kentledge scenario";

/// The schema, as the text of a file.
pub fn json_schema() -> String {
    let mut schema = File::schema();
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema".into();
    schema["title"] = TITLE.into();
    schema["$defs"] = written_quantities().into();
    format!("{schema:#}\n")
}
