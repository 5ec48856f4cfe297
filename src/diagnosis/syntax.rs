//! Everything that breaks the grammar of YAML.

use super::Severity;
use super::table::{faults, text};
use crate::decimals::counted;

faults! {
    /// What breaks the grammar of YAML.
    Syntax:

    "K024":
    Error NoSpaceAfterColon { key: String, fixed: String };
        "there must be a space after `{key}:`";
        "write `{fixed}`";
    Error OpenQuote;
        "the quote opened here is never closed";
        "close it on the same line with the same kind of quote";
    Error OpenBracket { open: char, close: char };
        "the `{open}` opened here is not closed well";
        "put `, ` between the values and `{close}` at the end";
    Error Indent { found: usize, neighbour: usize };
        { format!("this line is indented by {}, its neighbour by {neighbour}", counted(*found, "space")) };
        "settings of one block start in the same column";
    Error CutByComment;
        "YAML drops everything after ` #`, here the colon too";
        "put the name in quotes";
    Error NoColon;
        "this line has no `: ` between a name and its value";
        "write `name: value`, or start the line with `#` if it is a comment";
    Error TwoColons;
        "this line has a second `: `, or settings follow a value";
        "put text with `: ` in quotes; indent settings below a line that ends in `:`";
    Error ReservedStart { character: char };
        "a value cannot start with `{character}`";
        "put it in quotes";
    Error ListAmongSettings;
        "a list item stands among settings";
        "write `name: value` here, or the list below its own name";
    Error NoSuchAnchor;
        "`*` repeats a value that no `&` has named";
        "put text that starts with `*` in quotes";
    Error TooDeep;
        "values stand within values more than a hundred deep";
        "write the values out";
    Error Unfolds;
        "the `*` repetitions unfold to far too many values";
        "write the values out";
    Error Tag;
        "a word that starts with `!` is not read here";
        "delete the word, or put it in quotes";
    Error KeyNotText;
        "a list or settings stand where a name should be";
        "write `name: value`";
    Error ControlCharacter;
        "this line holds a control character";
        "delete it; retyping the line is the surest way";
    Error SecondDocument;
        "this file holds two scenarios; the second starts here";
        "run them one by one: save the second as its own file";
    Error Other;
        "this line cannot be read as YAML";
        "compare it with its neighbours: `name: value`, two spaces for each level";
}
