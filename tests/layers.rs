//! The import rule, read from the sources: `units <- catalog <- science <- calculators <- system <- session <- app`; `picture` stands on
//! `units` alone and serves `calculators` and later layers. Nothing left of `app` knows a browser.
#![cfg(not(target_arch = "wasm32"))]

use std::fs;
use std::path::{Path, PathBuf};

const RULE: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("picture", &["units"]),
    ("catalog", &["units"]),
    ("science", &["units", "catalog"]),
    ("calculators", &["units", "catalog", "science", "picture"]),
    ("system", &["units", "catalog", "science", "picture", "calculators"]),
    ("session", &["units", "catalog", "science", "picture", "calculators", "system"]),
];
const BROWSER: &[&str] = &["leptos", "web_sys", "js_sys", "gloo_", "wasm_bindgen"];

fn rust_files(dir: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(dir).unwrap_or_else(|e| panic!("{}: {e}", dir.display())) {
        let path = entry.expect("entry").path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// Code without comments; doc links such as [`crate::system`] are not imports.
fn code(path: &Path) -> String {
    let text = fs::read_to_string(path).expect("readable");
    text.lines().map(|l| l.split("//").next().unwrap_or("")).collect::<Vec<_>>().join("\n")
}

fn in_layer(layer: &str) -> Vec<PathBuf> {
    let mut files = vec![];
    rust_files(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(layer), &mut files);
    assert!(!files.is_empty(), "{layer} has no files");
    files
}

/// The first names of all that code takes out of the crate's root: `a` and `b` of `crate::a::x` and `crate::{b::{c, d}, e}`, and what enough `super` lead to.
fn out_of_the_crate(code: &str, depth: usize) -> Vec<String> {
    let code: String = code.split_whitespace().collect::<Vec<_>>().join(" ").replace(" ::", "::").replace(":: ", "::");
    let up = "super::".repeat(depth);
    let roots = ["crate::", "brimwise::", &*up];
    let mut found = vec![];
    for root in roots.into_iter().filter(|r| !r.is_empty()) {
        for (at, _) in code.match_indices(root) {
            let whole = code[..at].chars().next_back().is_none_or(|c| !c.is_alphanumeric() && c != '_' && c != ':');
            let rest = if whole { code[at + root.len()..].trim_start() } else { continue };
            let name = |s: &str| s.trim().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
            let Some(group) = rest.strip_prefix('{') else {
                found.push(name(rest));
                continue;
            };
            let (mut deep, mut from) = (0, 0);
            for (i, c) in group.char_indices() {
                match c {
                    '{' => deep += 1,
                    '}' if deep > 0 => deep -= 1,
                    ',' | '}' if deep == 0 => {
                        found.push(name(&group[from..i]));
                        from = i + 1;
                        if c == '}' {
                            break;
                        }
                    }
                    _ => {}
                }
            }
        }
    }
    found.retain(|name| !name.is_empty());
    found
}

/// How many `super` lead from a file to the root: one from `src/units/mod.rs`, two from `src/units/kind.rs`, one more from a module inside it.
fn ups(file: &Path) -> std::ops::RangeInclusive<usize> {
    let inside = file.strip_prefix(Path::new(env!("CARGO_MANIFEST_DIR")).join("src")).expect("in src");
    let deep = inside.components().count() - usize::from(file.ends_with("mod.rs"));
    deep..=deep + 1
}

#[test]
fn names_out_of_the_crate_are_found_however_they_are_written() {
    let text = "use crate::units;\nuse crate::{catalog::{a, b}, system, picture::{self}};\nlet x = crate :: app :: y(); super::super::session::z; \
                mycrate::no; $crate::choices; use crate::{\n science::{c},\n calculators::d,\n};";
    let mut found = out_of_the_crate(text, 2);
    found.sort_unstable();
    let all = ["app", "calculators", "catalog", "choices", "picture", "science", "session", "system", "units"];
    assert_eq!(found, all);
}

#[test]
fn a_layer_uses_only_what_stands_before_it() {
    let layers: Vec<&str> = RULE.iter().map(|r| r.0).chain(["app"]).collect();
    for (layer, may) in RULE {
        for file in in_layer(layer) {
            let code = code(&file);
            // What is in a layer's own folder may be called like another layer: only names of the root count.
            let taken: std::collections::BTreeSet<String> =
                ups(&file).flat_map(|deep| out_of_the_crate(&code, deep)).collect();
            for other in &layers {
                let uses = taken.contains(*other);
                assert!(!uses || other == layer || may.contains(other), "{} uses {other}", file.display());
            }
        }
    }
}

#[test]
fn only_the_app_knows_a_browser() {
    for (layer, _) in RULE {
        for file in in_layer(layer) {
            let code = code(&file);
            for word in BROWSER {
                assert!(
                    !code.contains(&format!("{word}::")) && !code.contains(&format!("use {word}")),
                    "{} knows {word}",
                    file.display()
                );
            }
        }
    }
}

/// Numbers that need no source: counts, halves, powers, signs, limits of loops and tolerances written as powers of ten.
fn plain(number: &str) -> bool {
    let n = number.trim_end_matches("_f64").trim_end_matches("f64").replace('_', "");
    let Ok(x) = n.parse::<f64>() else { return true };
    let small = [
        0.0, 0.25, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 12.0, 16.0, 24.0, 32.0, 60.0, 64.0,
        100.0, 365.0,
    ];
    let power = x > 0.0 && (x.log10() - x.log10().round()).abs() < 1e-12;
    small.contains(&x) || power
}

/// Every other decimal number in `science/` must stand in a `const`, where it has a name and a source, or in a table or test.
#[test]
fn science_has_no_bare_numbers() {
    let mut bare = vec![];
    for file in in_layer("science") {
        if file.ends_with("tests.rs") {
            continue;
        }
        let text = code(&file);
        let body = text.split("#[cfg(test)]").next().unwrap_or("");
        let mut in_const = false;
        for (i, line) in body.lines().enumerate() {
            let t = line.trim_start();
            let opens = ["const ", "pub const ", "pub(crate) const ", "static ", "pub static ", "pub(super) const "]
                .iter()
                .any(|k| t.starts_with(k));
            in_const |= opens && !t.starts_with("const fn") && !t.starts_with("pub const fn");
            if !in_const {
                // The sign of an exponent is part of its number.
                let joined = t.replace("e-", "e_");
                for word in joined.split(|c: char| !(c.is_ascii_alphanumeric() || c == '.' || c == '_')) {
                    let word = &*word.replace("e_", "e-");
                    let digit = word.starts_with(|c: char| c.is_ascii_digit());
                    let decimal = digit && !word.contains("..") && (word.contains('.') || word.contains("e-"));
                    if decimal && !plain(word) {
                        bare.push(format!("{}:{}: {word}", file.display(), i + 1));
                    }
                }
            }
            in_const &= !t.trim_end().ends_with(';');
        }
    }
    assert!(bare.is_empty(), "numbers without a name and a source:\n{}", bare.join("\n"));
}

/// What a degree, a day, an inch and a foot are stands in `units` alone.
#[test]
fn one_place_says_how_large_a_unit_is() {
    let mut again = vec![];
    for (layer, _) in RULE.iter().filter(|r| r.0 != "units") {
        for file in in_layer(layer).into_iter().filter(|f| !f.ends_with("tests.rs")) {
            let text = code(&file);
            let body = text.split("#[cfg(test)]").next().unwrap_or("");
            let number = |c: char| !(c.is_ascii_alphanumeric() || c == '.' || c == '_');
            for word in body.split(number).filter(|w| ["273.15", "86_400.0", "0.0254", "25.4", "0.3048"].contains(w)) {
                again.push(format!("{}: {word}", file.display()));
            }
        }
    }
    assert!(again.is_empty(), "conversions that units::si has:\n{}", again.join("\n"));
}

/// Every source is pointed at from code outside the bibliography: a number, a step of the working, a field or a caution. A comment reaches no reader.
#[test]
fn no_source_stands_for_nothing() {
    let sources = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/catalog/sources");
    let (mut all, mut listed) = (vec![], vec![]);
    rust_files(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut all);
    rust_files(&sources, &mut listed);
    let rest: String = all.iter().filter(|path| !path.starts_with(&sources)).map(|path| code(path) + "\n").collect();
    let used: std::collections::BTreeSet<&str> = rest.split(|c: char| !c.is_ascii_alphanumeric() && c != '_').collect();
    let bibliography: String = listed.iter().map(|path| code(path) + "\n").collect();
    let names = bibliography.lines().filter_map(|l| l.strip_prefix("pub static ")?.split_once(": Source ="));
    let (count, idle) = names.fold((0, vec![]), |(n, mut idle), (name, _)| {
        idle.extend((!used.contains(name)).then_some(name));
        (n + 1, idle)
    });
    assert!(count > 100 && idle.is_empty(), "{count}, of which nothing points at {idle:?}");
}
