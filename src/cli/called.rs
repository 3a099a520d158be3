//! Whoever types a name means one thing by it, or is asked which.

use skyworthy::plan::called::Meant;

use super::failure::Failure;

/// The id of what was meant; what is not known stays as it was said, for whoever looks for it to refuse.
pub fn id_said(said: &str, meant: Meant) -> Result<String, Failure> {
    match meant {
        Meant::One(id) => Ok(id),
        Meant::Several(all) => Err(Failure::Ambiguous(said.to_string(), all)),
        Meant::Nothing => Ok(said.to_string()),
    }
}
