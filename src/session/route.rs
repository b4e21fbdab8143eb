//! Where a person is: the part of the address after `#`.

use super::code;

/// A screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Route {
    /// The list of calculators and systems.
    Home,
    /// A calculator: its working sheet, or a sheet saved under a name.
    Calculator {
        /// Which.
        id: String,
        /// The saved sheet, if it is one.
        saved: Option<String>,
    },
    /// All systems.
    Systems,
    /// A system planned from a goal.
    Plan,
    /// A saved system.
    System(String),
    /// A demo system.
    Demo(String),
    /// A calculator or a system as a guest in another page: which, and what its address says besides.
    Guest(String, String),
    /// How to put a calculator into another page; the list of them where none is named.
    Site(String),
    /// Work in a code.
    Code(String),
    /// Work that came in a code, at its short address.
    Linked(String),
    /// Nothing of that name.
    Lost,
}

/// Longest identifier in an address.
const LONGEST: usize = 60;
/// Longest address that is looked at, bytes; a code may be long, all else is short.
const LONGEST_ADDRESS: usize = 4 * code::LONGEST;

/// An identifier that may stand in an address.
pub(super) fn identifier(s: &str) -> Option<String> {
    let good = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_' || b == b'-';
    (!s.is_empty() && s.len() <= LONGEST && s.bytes().all(good)).then(|| s.to_string())
}

impl Route {
    /// Reads the part after `#` (with or without it). What follows a `?` is left to others.
    pub fn parse(hash: &str) -> Self {
        let hash = hash.strip_prefix('#').unwrap_or(hash);
        if hash.len() > LONGEST_ADDRESS {
            return Self::Lost;
        }
        let (path, query) = hash.split_once('?').unwrap_or((hash, ""));
        if let Some(code) = path.strip_prefix(code::MARK) {
            // Whoever reads the code says what is wrong with it.
            return Self::Code(code.chars().take(code::LONGEST + 1).collect());
        }
        let mut parts = path.split('/').filter(|p| !p.is_empty());
        let (head, id, saved) = (parts.next(), parts.next(), parts.next());
        if parts.next().is_some() {
            return Self::Lost;
        }
        let id = id.map(identifier);
        let saved = saved.map(identifier);
        match (head, id, saved) {
            (None, None, None) => Self::Home,
            (Some("systems"), None, None) => Self::Systems,
            (Some("linked"), None, None) => Self::Linked(String::new()),
            (Some("linked"), Some(Some(id)), None) => Self::Linked(id),
            (Some("plan"), None, None) => Self::Plan,
            (Some("calculator"), Some(Some(id)), None) => Self::Calculator { id, saved: None },
            (Some("calculator"), Some(Some(id)), Some(Some(saved))) => Self::Calculator { id, saved: Some(saved) },
            (Some("system"), Some(Some(id)), None) => Self::System(id),
            (Some("demo"), Some(Some(id)), None) => Self::Demo(id),
            (Some("embed"), Some(Some(id)), None) => Self::Guest(id, query.into()),
            (Some("site"), None, None) => Self::Site(String::new()),
            (Some("site"), Some(Some(id)), None) => Self::Site(id),
            _ => Self::Lost,
        }
    }
    /// The address, with its `#`.
    pub fn hash(&self) -> String {
        match self {
            Self::Home | Self::Lost => "#/".into(),
            Self::Systems => "#/systems".into(),
            Self::Plan => "#/plan".into(),
            Self::Calculator { id, saved: None } => format!("#/calculator/{id}"),
            Self::Calculator { id, saved: Some(saved) } => format!("#/calculator/{id}/{saved}"),
            Self::System(id) => format!("#/system/{id}"),
            Self::Demo(id) => format!("#/demo/{id}"),
            Self::Guest(id, query) if query.is_empty() => format!("#/embed/{id}"),
            Self::Guest(id, query) => format!("#/embed/{id}?{query}"),
            Self::Site(id) if id.is_empty() => "#/site".into(),
            Self::Site(id) => format!("#/site/{id}"),
            Self::Code(code) => format!("#{}{code}", code::MARK),
            Self::Linked(id) if id.is_empty() => "#/linked".into(),
            Self::Linked(id) => format!("#/linked/{id}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back() {
        let all = [
            Route::Home,
            Route::Systems,
            Route::Plan,
            Route::Calculator { id: "drain".into(), saved: None },
            Route::Calculator { id: "drain".into(), saved: Some("k3x9".into()) },
            Route::System("k3x9".into()),
            Route::Demo("trough".into()),
            Route::Guest("drain".into(), String::new()),
            Route::Guest("drain".into(), "flow=2+L%2Fs&look=dark".into()),
            Route::Site(String::new()),
            Route::Site("drain".into()),
            Route::Code("AB2X".into()),
            Route::Linked(String::new()),
            Route::Linked("1764500000000".into()),
        ];
        for r in all {
            assert_eq!(Route::parse(&r.hash()), r);
        }
    }

    #[test]
    fn odd_addresses_go_nowhere_bad() {
        for home in ["", "#", "#/", "/", "#//", "#/?d=1"] {
            assert_eq!(Route::parse(home), Route::Home, "{home}");
        }
        let long = format!("#/system/{}", "a".repeat(61));
        for lost in [
            "#/nowhere",
            "#/system",
            "#/system/../x",
            "#/system/<b>",
            "#/calculator/a/b/c",
            "#/systems/x",
            "#/demo/Ä",
            &long,
        ] {
            assert_eq!(Route::parse(lost), Route::Lost, "{lost}");
        }
        assert_eq!(Route::parse("#/demo/courtyard?x=1#y"), Route::Demo("courtyard".into()));
    }
}
