//! Version numbers: reading them out of a tool's answer, a lock file, or a manifest, and comparing them.

/// The first thing in `text` that looks like a version (`1.2` or `1.2.3`, digits and dots), such as the `0.21.14` of
/// `trunk 0.21.14`. A suffix (`-nightly`, `+dfsg`) is left off.
pub fn first_version(text: &str) -> Option<&str> {
    text.split(|c: char| c.is_whitespace() || c == '(').find_map(|word| {
        let word = word.strip_prefix('v').unwrap_or(word);
        let end = word.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(word.len());
        let version = word.get(..end)?.trim_end_matches('.');
        let starts_with_digit = version.starts_with(|c: char| c.is_ascii_digit());
        (starts_with_digit && version.contains('.')).then_some(version)
    })
}

/// True where `version` is `least` or newer, compared number by number; a missing number counts as 0.
pub fn at_least(version: &str, least: &str) -> bool {
    let numbers = |text: &str| -> Vec<u64> { text.split('.').map(|part| part.parse().unwrap_or(0)).collect() };
    let (have, want) = (numbers(version), numbers(least));
    for at in 0..have.len().max(want.len()) {
        let (have, want) = (have.get(at).unwrap_or(&0), want.get(at).unwrap_or(&0));
        if have != want {
            return have > want;
        }
    }
    true
}

/// The version that a `Cargo.lock` holds for the package `name`.
pub fn locked(lock: &str, name: &str) -> Option<String> {
    lock.split("[[package]]").find_map(|package| {
        let value = |key: &str| {
            package.lines().find_map(|line| {
                let value = line.strip_prefix(key)?.trim_start().strip_prefix('=')?;
                Some(value.trim().trim_matches('"').to_owned())
            })
        };
        (value("name")? == name).then(|| value("version")).flatten()
    })
}

/// The `rust-version` of a manifest: the oldest compiler that builds the project.
pub fn rust_version(manifest: &str) -> Option<String> {
    manifest.lines().find_map(|line| {
        let value = line.trim().strip_prefix("rust-version")?.trim_start().strip_prefix('=')?;
        Some(value.trim().trim_matches('"').to_owned())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_tools_answer() {
        assert_eq!(first_version("trunk 0.21.14"), Some("0.21.14"));
        assert_eq!(first_version("wasm-bindgen 0.2.130\n"), Some("0.2.130"));
        assert_eq!(first_version("v20.20.2"), Some("20.20.2"));
        assert_eq!(first_version("rustc 1.96.0-nightly (ac68faa20 2026-05-25)"), Some("1.96.0"));
        assert_eq!(first_version("Chromium 156.0.8078.79 built on Debian"), Some("156.0.8078.79"));
        assert_eq!(first_version("gzip (v1.12)"), Some("1.12"));
        assert_eq!(first_version("no version 7 here"), None);
        assert_eq!(first_version(""), None);
    }

    #[test]
    fn compares_by_number_not_by_letter() {
        assert!(at_least("1.100.0", "1.88"));
        assert!(at_least("1.88", "1.88.0"));
        assert!(at_least("18.0.0", "18"));
        assert!(!at_least("1.63.0", "1.88"));
        assert!(!at_least("0.2.99", "0.2.130"));
    }

    #[test]
    fn finds_a_package_in_a_lock() {
        let lock = "version = 4\n\n[[package]]\nname = \"wasm-bindgen-macro\"\nversion = \"0.2.7\"\n\n\
                    [[package]]\nname = \"wasm-bindgen\"\nversion = \"0.2.130\"\nsource = \"registry\"\n\
                    dependencies = [\n \"cfg-if\",\n]\n";
        assert_eq!(locked(lock, "wasm-bindgen").as_deref(), Some("0.2.130"));
        assert_eq!(locked(lock, "wasm-bindgen-macro").as_deref(), Some("0.2.7"));
        assert_eq!(locked(lock, "wasm"), None);
    }

    #[test]
    fn finds_the_oldest_compiler() {
        assert_eq!(rust_version("[package]\nedition = \"2024\"\nrust-version = \"1.88\"\n").as_deref(), Some("1.88"));
        assert_eq!(rust_version("[package]\n"), None);
    }
}
