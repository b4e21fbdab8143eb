//! What the project stands on, read from the lock files without a network: every package under a permissive licence, from the public registry
//! with its checksum, and in one version, unless it is said here why not.
#![cfg(not(target_arch = "wasm32"))]

use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;

const HERE: &str = env!("CARGO_MANIFEST_DIR");
/// The licence that every package declares, one a line, so that a look needs no registry. `BRIMWISE_WRITE=1` writes it anew, with one.
const LICENCES: &str = "tests/dependencies/licences.txt";
const PERMISSIVE: &[&str] = &[
    "0BSD",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];
/// In two versions, and why.
const TWICE: &[(&str, &str)] = &[
    ("convert_case", "leptos_config's reader of settings wants the older one; no code of it comes into the page"),
    (
        "cpufeatures",
        "macros of leptos hash while they compile, proptest draws numbers in tests; neither comes into the page",
    ),
    ("gloo-utils", "server_fn, which leptos always brings, is behind gloo-storage"),
    ("hashbrown", "rqrr reads squares in tests only"),
    ("itertools", "criterion is for timings only"),
    ("syn", "macros move to version 3 one by one; it is there while they compile only"),
    ("thiserror", "gloo-net, which server_fn brings, is behind the rest of leptos"),
    ("thiserror-impl", "as thiserror"),
];
/// Used by the browser tests alone and never part of what is built, so a weaker copyleft on its own files does no harm.
const TEST_TOOLS: &[(&str, &str)] = &[("axe-core", "MPL-2.0")];

struct Package {
    name: String,
    version: String,
    source: Option<String>,
    checksum: Option<String>,
}

fn read(path: impl AsRef<Path>) -> String {
    let path = PathBuf::from(HERE).join(path);
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn packages() -> Vec<Package> {
    let lock = read("Cargo.lock");
    let all: Vec<_> = lock.split("[[package]]").skip(1).collect();
    assert!(all.len() > 100, "the lock file holds {} packages only", all.len());
    let of = |part: &str| {
        let get = |key: &str| {
            let line = part.lines().find_map(|l| l.strip_prefix(key)?.strip_prefix(" = \""));
            line.map(|l| l.trim_end_matches('"').to_string())
        };
        Package {
            name: get("name").expect("a name"),
            version: get("version").expect("a version"),
            source: get("source"),
            checksum: get("checksum"),
        }
    };
    all.into_iter().map(of).collect()
}

fn licences() -> BTreeMap<String, String> {
    let text = read(LICENCES);
    let pair = |l: &str| l.split_once(": ").map(|(a, b)| (a.to_string(), b.to_string())).expect("name: licence");
    text.lines().map(pair).collect()
}

/// Does one of the ways that an expression offers stand on permissive licences alone? `/` is how older packages write OR.
fn permissive(expression: &str) -> bool {
    let plain = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let words: Vec<_> = plain.split_whitespace().collect();
    let mut at = 0;
    let good = any_of(&words, &mut at);
    good && at == words.len()
}

fn any_of(words: &[&str], at: &mut usize) -> bool {
    let mut good = all_of(words, at);
    while words.get(*at) == Some(&"OR") {
        *at += 1;
        good |= all_of(words, at);
    }
    good
}

fn all_of(words: &[&str], at: &mut usize) -> bool {
    let mut good = one(words, at);
    while words.get(*at) == Some(&"AND") {
        *at += 1;
        good &= one(words, at);
    }
    good
}

fn one(words: &[&str], at: &mut usize) -> bool {
    let word = words.get(*at).copied().unwrap_or_default();
    *at += 1;
    if word == "(" {
        let good = any_of(words, at);
        *at += 1;
        return good && words.get(*at - 1) == Some(&")");
    }
    PERMISSIVE.contains(&word)
}

#[test]
fn expressions_are_read_as_they_are_meant() {
    for good in ["MIT", "MIT OR GPL-3.0", "MIT/Apache-2.0", "(MIT OR Apache-2.0) AND ISC", "GPL-2.0 OR (MIT AND Zlib)"]
    {
        assert!(permissive(good), "{good}");
    }
    for bad in [
        "",
        "GPL-3.0",
        "MIT AND GPL-3.0",
        "(MIT OR Zlib",
        "MIT Zlib",
        "LGPL-2.1-or-later",
        "(GPL-3.0 OR MIT) AND MPL-2.0",
    ] {
        assert!(!permissive(bad), "{bad}");
    }
}

#[test]
fn every_package_comes_from_the_registry_with_its_checksum() {
    let ours = ["brimwise", "xtask"];
    let sources: BTreeSet<_> = packages().into_iter().filter_map(|p| p.source).collect();
    assert_eq!(sources.len(), 1, "{sources:?}");
    for p in packages() {
        match &p.source {
            Some(source) => {
                assert!(source.starts_with("registry+https://"), "{} {} comes from {source}", p.name, p.version);
                assert!(p.checksum.is_some_and(|c| c.len() == 64), "{} {} has no checksum", p.name, p.version);
            }
            None => assert!(ours.contains(&p.name.as_str()), "{} {} is a folder that is not ours", p.name, p.version),
        }
    }
}

#[test]
fn every_licence_is_permissive() {
    let licences = licences();
    let mut used = BTreeSet::new();
    for p in packages().into_iter().filter(|p| p.source.is_some()) {
        let licence = licences.get(&p.name);
        let licence =
            licence.unwrap_or_else(|| panic!("{} is new: look at its licence and add it to {LICENCES}", p.name));
        assert!(permissive(licence), "{}: {licence}", p.name);
        used.insert(p.name);
    }
    let gone: Vec<_> = licences.keys().filter(|name| !used.contains(*name)).collect();
    assert!(gone.is_empty(), "no longer used, and still in {LICENCES}: {gone:?}");
}

/// What the packages themselves declare, as far as they are on this machine: for this test to run, all that it stands on is.
#[test]
fn the_list_says_what_the_packages_say() {
    let write = std::env::var_os("BRIMWISE_WRITE").is_some();
    let host = Command::new(env!("CARGO")).args(["-vV"]).output().expect("cargo runs");
    let host = String::from_utf8_lossy(&host.stdout).into_owned();
    let host = host.lines().find_map(|l| l.strip_prefix("host: ")).expect("a host").to_string();
    let mut cargo = Command::new(env!("CARGO"));
    cargo.current_dir(HERE).args(["metadata", "--format-version", "1", "--locked"]);
    if write {
        cargo.arg("--all-features")
    } else {
        cargo.args(["--offline", "--filter-platform", &host])
    };
    let out = cargo.output().expect("cargo runs");
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let metadata: Value = serde_json::from_slice(&out.stdout).expect("JSON");
    let declared: BTreeMap<String, String> = metadata["packages"]
        .as_array()
        .expect("packages")
        .iter()
        .filter(|p| p["source"].is_string())
        .map(|p| {
            let name = p["name"].as_str().expect("a name").to_string();
            let licence = p["license"].as_str().unwrap_or_else(|| panic!("{name} declares no licence"));
            (name, licence.to_string())
        })
        .collect();
    assert!(declared.len() > 50, "{} packages only", declared.len());
    if write {
        let lines: String = declared.iter().map(|(name, licence)| format!("{name}: {licence}\n")).collect();
        return std::fs::write(PathBuf::from(HERE).join(LICENCES), lines).expect("written");
    }
    let listed = licences();
    for (name, licence) in declared {
        assert_eq!(listed.get(&name), Some(&licence), "{name}");
    }
}

#[test]
fn one_version_of_each_unless_it_is_said_why() {
    let mut versions: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for p in packages() {
        versions.entry(p.name).or_default().push(p.version);
    }
    for (name, versions) in &versions {
        let most = if TWICE.iter().any(|(n, _)| n == name) { 2 } else { 1 };
        assert!(versions.len() <= most, "{name} is there in versions {}", versions.join(", "));
    }
    for (name, why) in TWICE {
        assert!(
            versions.get(*name).is_some_and(|v| v.len() == 2),
            "{name} is there once: take it off the list ({why})"
        );
    }
}

#[test]
fn the_browser_tests_tools_may_be_used() {
    let lock: Value = serde_json::from_str(&read("tests/e2e/package-lock.json")).expect("JSON");
    let all = lock["packages"].as_object().expect("packages");
    let tools: Vec<_> = all.iter().filter(|(path, _)| !path.is_empty()).collect();
    assert!(!tools.is_empty());
    for (path, package) in tools {
        let name = path.trim_start_matches("node_modules/");
        let licence = package["license"].as_str().unwrap_or_else(|| panic!("{name} declares no licence"));
        assert!(permissive(licence) || TEST_TOOLS.contains(&(name, licence)), "{name}: {licence}");
        assert!(package["integrity"].as_str().is_some_and(|s| s.starts_with("sha512-")), "{name} has no checksum");
        // Neither an address of its own nor a folder: the registry that npm asks, and what it gives must have that checksum.
        assert!(package["resolved"].is_null() && package["link"].is_null(), "{name} comes from elsewhere");
    }
}
