//! What the open drive profiles define: error codes, and what a drive in each state waits for.

use serde::{Deserialize, Serialize};

use super::validate::{Ids, Scope};

/// An error code of CiA 301 or CiA 402 (IEC 61800-7-201, object 603Fh).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ErrorCode {
    /// Four hex digits in capitals.
    pub code: String,
    /// The group it belongs to.
    pub about: String,
    /// What it says.
    pub meaning: String,
    /// Source id.
    pub source: String,
    /// The classes it may point at, the likelier one first.
    #[serde(default)]
    pub classes: Vec<String>,
    /// What to ask where the code alone can't tell which class.
    #[serde(default)]
    pub ask: Option<String>,
    /// A remark.
    #[serde(default)]
    pub note: Option<String>,
}

/// What a drive in a state of its profile waits for, and what usually holds it there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StateHelp {
    /// The state's id.
    pub id: String,
    /// What it waits for.
    pub wants: String,
    /// The next control word.
    #[serde(default)]
    pub send: Option<String>,
    /// What usually holds it.
    pub blocked_by: Vec<String>,
    /// The classes to walk.
    pub classes: Vec<String>,
    /// A remark.
    #[serde(default)]
    pub note: Option<String>,
    /// Cautions before the next control word.
    #[serde(default)]
    pub cautions: Vec<String>,
}

/// From this code on the meaning is the maker's (CiA 301, device-specific).
pub const FIRST_OF_THE_MAKER: u16 = 0xFF00;

/// Checks an error code of the list.
pub(super) fn error_code(mut scope: Scope<'_>, code: &ErrorCode, ids: &Ids<'_>) {
    let own = &code.code;
    let number = u16::from_str_radix(own, 16).ok();
    if number.is_none_or(|number| format!("{number:04X}") != *own) {
        scope.report(
            own,
            format!("\"{own}\" is not an error code"),
            "write four hexadecimal digits in capitals and in quotes".to_owned(),
        );
    } else if number.is_some_and(|number| number >= FIRST_OF_THE_MAKER) {
        scope.report(
            own,
            format!("{own}h belongs to the maker of the drive"),
            "put it into the plant's code sheet instead".to_owned(),
        );
    }
    scope.length(own, "meaning", &code.meaning, 120);
    scope.known("source", &code.source, &ids.sources);
    for class in &code.classes {
        scope.known("class", class, &ids.classes);
    }
    if code.ask.is_some() && code.classes.len() < 2 {
        scope.report(
            own,
            format!("{own}h asks which of fewer than two classes"),
            "name the classes that the question tells apart, or take ask out".to_owned(),
        );
    }
}

/// Checks the help of a state.
pub(super) fn state(mut scope: Scope<'_>, state: &StateHelp, ids: &Ids<'_>) {
    scope.length(&state.id, "wants", &state.wants, 200);
    for class in &state.classes {
        scope.known("class", class, &ids.classes);
    }
    for caution in &state.cautions {
        scope.known("caution", caution, &ids.cautions);
    }
    // A command can move the machine: that is said before the command.
    if state.send.is_some() && !state.cautions.iter().any(|id| id == "moving-machine") {
        scope.report(
            &state.id,
            format!("{} names a control word without the caution", state.id),
            "add cautions: [moving-machine]".to_owned(),
        );
    }
}
