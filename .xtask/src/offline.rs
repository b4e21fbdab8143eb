//! What makes the built site open without a signal: icons, the manifest, and a worker that keeps exactly the files of a first visit.

use crate::project::Project;
use crate::sha256::{short, source};
use crate::shell::{self, Done};
use crate::size;
use std::path::Path;

/// The worker's name in the built site; `boot.js` registers it.
const WORKER: &str = "offline.js";
/// What stands in the worker's source for the version and for the files.
const VERSION: &str = "const VERSION = \"none\";";
const FILES: &str = "const FILES = {};";
/// Before what the built page says its version. What opens a page from a cache can so tell whether page and cache belong together.
const PLACE: &str = "<title>";

/// Adds it all to the built site, which is otherwise finished.
pub fn add(project: &Project) -> Done {
    let (dist, app, style) = (project.dist(), project.root.join("src").join("app"), project.root.join("style"));
    for name in ["180.png", "192.png", "512.png", "512-maskable.png", "mark.svg"] {
        copy(&style.join("icons").join(name), &dist.join("icons").join(name))?;
    }
    copy(&app.join("manifest.webmanifest"), &dist.join("manifest.webmanifest"))?;
    let worker = shell::read(&app.join("worker.js"))?;
    // It is one of the files of a first visit, so it must be there before they are listed.
    shell::write(&dist.join(WORKER), &worker)?;

    let mut files = Vec::new();
    for name in size::first_visit(&dist)? {
        let body = std::fs::read(dist.join(&name)).map_err(|error| format!("could not read {name}: {error}"))?;
        files.push((name, body));
    }
    let index = dist.join("index.html");
    let version = version(&files);
    let page = stamped(&shell::read(&index)?, &version).ok_or("the built index.html has no title")?;
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

/// The page with its version.
fn stamped(page: &str, version: &str) -> Option<String> {
    let (before, after) = page.split_once(PLACE)?;
    Some(format!("{before}<meta name=\"version\" content=\"{version}\">{PLACE}{after}"))
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
        assert_eq!(
            stamped("<head><title>x", "7f"),
            Some("<head><meta name=\"version\" content=\"7f\"><title>x".to_owned())
        );
        assert_eq!(stamped("<head>", "7f"), None);
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
        assert!(shell::read(&project.root.join("index.html")).unwrap().contains(PLACE));
    }
}
