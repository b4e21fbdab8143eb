//! What makes the built site open without a signal: icons, the manifest, and a worker that keeps exactly the files of the app.

use crate::project::Project;
use crate::sha256::{short, source};
use crate::shell::{self, Done};
use crate::{size, web};
use std::path::Path;

/// The worker's name in the built site; `boot.js` registers it.
const WORKER: &str = "offline.js";
/// What stands in the worker's source for the version and for the files.
const VERSION: &str = "const VERSION = \"none\";";
const FILES: &str = "const FILES = {};";
/// The environment variable with the public address.
pub const ADDRESS: &str = "BRIMWISE_PUBLIC_URL";
/// Before what the built page says its version. What opens a page from a cache can so tell whether page and cache belong together.
const PLACE: &str = "<title>";

/// Adds it all to the built site, which is otherwise finished.
pub fn add(project: &Project) -> Done {
    let (dist, app, style) = (project.dist(), project.root.join("src").join("app"), project.root.join("style"));
    for name in ["180.png", "192.png", "512.png", "512-maskable.png"] {
        copy(&style.join("icons").join(name), &dist.join("icons").join(name))?;
    }
    copy(&app.join("manifest.webmanifest"), &dist.join("manifest.webmanifest"))?;
    // For pages of other sites; not of a first visit, and so not kept.
    copy(&app.join("embed.js"), &dist.join("embed.js"))?;
    let worker = web::bare_script(&shell::read(&app.join("worker.js"))?);
    // It is one of the files of a first visit, so it must be there before they are listed.
    shell::write(&dist.join(WORKER), &worker)?;

    let mut files = Vec::new();
    for name in size::all(&dist)? {
        let body = std::fs::read(dist.join(&name)).map_err(|error| format!("could not read {name}: {error}"))?;
        files.push((name, body));
    }
    let index = dist.join("index.html");
    let version = version(&files);
    let tags = format!("<meta name=\"version\" content=\"{version}\">{}", address_tag(&address()?));
    let page = stamped(&shell::read(&index)?, &tags).ok_or("the built index.html has no title")?;
    shell::write(&index, &page)?;
    shell::write(&dist.join(WORKER), &filled(&worker, &version, &files)?)
}

fn copy(from: &Path, to: &Path) -> Done {
    let fail = |error: std::io::Error| format!("could not copy {}: {error}", from.display());
    std::fs::create_dir_all(to.parent().unwrap_or(to)).map_err(fail)?;
    std::fs::copy(from, to).map(|_| ()).map_err(fail)
}

/// A name for all of these files together.
fn version(files: &[(String, Vec<u8>)]) -> String {
    let all: String = files.iter().map(|(name, body)| format!("{name} {}\n", source(body))).collect();
    short(all.as_bytes())
}

/// The page with what it says of itself.
fn stamped(page: &str, tags: &str) -> Option<String> {
    let (before, after) = page.split_once(PLACE)?;
    Some(format!("{before}{tags}{PLACE}{after}"))
}

/// The address that links from this build carry; empty where it is wherever the app is opened.
pub fn address() -> Done<String> {
    checked(&shell::variable(ADDRESS).unwrap_or_default())
}

fn checked(address: &str) -> Done<String> {
    let known = ["http://", "https://"].iter().any(|start| address.starts_with(start) && address.len() > start.len());
    let plain = |c: char| c.is_ascii_graphic() && !"\"'<>#?&".contains(c);
    match address {
        "" => Ok(String::new()),
        _ if known && address.chars().all(plain) => Ok(format!("{}/", address.trim_end_matches('/'))),
        _ => Err(format!("{ADDRESS} is `{address}`; it must be an address such as https://example.org/tools/")),
    }
}

/// What says it in the page; nothing for none.
pub fn address_tag(address: &str) -> String {
    if address.is_empty() { String::new() } else { format!("<meta name=\"brimwise-address\" content=\"{address}\">") }
}

/// The worker with its version and its files. It does not keep itself: the browser does.
fn filled(worker: &str, version: &str, files: &[(String, Vec<u8>)]) -> Done<String> {
    let mut list = String::from("\"\": \"\"");
    for (name, body) in files.iter().filter(|(name, _)| name != WORKER && name != "index.html") {
        list += &format!(",\n  {name:?}: \"{}\"", source(body));
    }
    for place in [VERSION, FILES] {
        if worker.matches(place).count() != 1 {
            return Err(format!("the worker's source must hold `{place}` once"));
        }
    }
    let worker = worker.replace(VERSION, &format!("const VERSION = \"{version}\";"));
    Ok(worker.replace(FILES, &format!("const FILES = {{\n  {list},\n}};")))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(style: &str) -> Vec<(String, Vec<u8>)> {
        [("index.html", "<title>"), (WORKER, FILES), ("s-1.css", style)].map(|(n, b)| (n.to_owned(), b.into())).into()
    }

    #[test]
    fn the_version_follows_every_byte() {
        assert_eq!(version(&files("a")), version(&files("a")));
        assert_ne!(version(&files("a")), version(&files("b")));
        assert_eq!(stamped("<head><title>x", "<i>"), Some("<head><i><title>x".to_owned()));
        assert_eq!(stamped("<head>", "7f"), None);
    }

    #[test]
    fn only_an_address_is_taken_for_one() {
        assert_eq!(checked(""), Ok(String::new()));
        assert_eq!(checked("https://club.example/tools"), Ok("https://club.example/tools/".to_owned()));
        for bad in
            ["club.example", "https://", "file:///x", "https://a/#x", "https://a/\"", "javascript:x", "http://a b"]
        {
            assert!(checked(bad).is_err(), "{bad}");
        }
        assert_eq!(address_tag(""), "");
    }

    #[test]
    fn the_worker_lists_all_but_itself() {
        let worker = format!("{VERSION}\n{FILES}\nrest");
        let filled = filled(&worker, "7f", &files("abc")).unwrap();
        let hash = "sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0=";
        let expected =
            format!("const VERSION = \"7f\";\nconst FILES = {{\n  \"\": \"\",\n  \"s-1.css\": \"{hash}\",\n}};\nrest");
        assert_eq!(filled, expected);
        assert!(super::filled("no place", "7f", &[]).is_err());
    }

    #[test]
    fn the_sources_have_their_places() {
        let project = Project::here().unwrap();
        let worker = shell::read(&project.root.join("src").join("app").join("worker.js")).unwrap();
        assert!(filled(&worker, "7f", &[]).is_ok());
        let page = shell::read(&project.root.join("index.html")).unwrap();
        assert!(page.contains(PLACE));
        // The icon stands in the page: some browsers ask for one of a file again with every step inside the app.
        let mark = shell::read(&project.root.join("style").join("icons").join("mark.svg")).unwrap();
        let mark: String = mark.lines().map(str::trim).collect();
        let mark = mark.replace('"', "'").replace('#', "%23");
        assert!(
            page.contains(&format!("data:image/svg+xml,{mark}\"")),
            "index.html holds another icon than style/icons/mark.svg"
        );
    }
}
