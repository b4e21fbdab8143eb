//! A link that carries work in its fragment, which no server sees, and the same as a square that a camera reads.

use super::{
    code,
    qr::{self, Symbol},
    work::Work,
};

/// Longest link that passes through chats and mail, characters.
pub const LONGEST: usize = 2000;

/// What can be handed on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    /// The whole link; where there is no address, the code alone.
    pub text: String,
    /// The square, unless it would be too large for a camera.
    pub symbol: Option<Symbol>,
}

/// The link to some work at an address (without its fragment); with an empty address the code alone.
///
/// # Errors
/// A sentence that says why there is none.
pub fn link(work: &Work, address: &str) -> Result<Link, &'static str> {
    let code = code::encode(work).ok_or("This cannot be put into a link.")?;
    let room = if address.is_empty() { LONGEST } else { LONGEST.saturating_sub(address.len() + 1 + code::MARK.len()) };
    if code.len() > room {
        return Err("This is too large for a link. Save it as a file and send the file.");
    }
    // What cannot be read back must not be handed on.
    if code::decode(&code).is_err() {
        return Err("A value is outside its range. Put it right first.");
    }
    let text = if address.is_empty() { code } else { format!("{address}#{}{code}", code::MARK) };
    Ok(Link { symbol: qr::symbol(&text), text })
}
