//! Demo systems, all invented.

/// A demo system.
#[derive(Debug)]
pub struct Demo {
    /// Identifier.
    pub id: &'static str,
}

/// Every demo system.
pub static ALL: &[Demo] = &[];

/// The demo of that name.
pub fn by_id(id: &str) -> Option<&'static Demo> {
    ALL.iter().find(|d| d.id == id)
}
