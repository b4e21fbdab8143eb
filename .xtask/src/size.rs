//! The size budget: what a first visit fetches, compressed, before it shows something and in all, and the limits that it must stay under.

use crate::html;
use crate::project::Project;
use crate::shell::{self, Done, find};
use crate::split;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Stdio;

/// The bytes that a first visit should fetch at the most, compressed with gzip. Not reached yet.
const TARGET: u64 = 200_000;

/// The bytes that may be fetched at the most today: before the first screen, before the first answer of a calculator in somebody else's page,
/// before that of one that is opened by its address, and in all. They stand just above what was last measured and go down, until they are the target; what is new may cost something, and then says so.
const SCREEN: u64 = 192_000;
const GUEST: u64 = 226_000;
const ANSWER: u64 = 398_000;
const ALL: u64 = 1_022_000;

/// What only installing needs.
const ICONS: [&str; 3] = [".png", ".webmanifest", "offline.js"];

/// Files of this kind are compressed already.
const COMPRESSED: [&str; 4] = ["png", "jpg", "webp", "woff2"];

/// Compresses every file of the built site into a folder beside it, for measuring and for serving. Where `gzip` is missing there is none.
pub fn compress(project: &Project) -> Done {
    let (dist, compressed) = (project.dist(), project.compressed());
    let _ = std::fs::remove_dir_all(&compressed);
    if find("gzip").is_none() {
        return Ok(());
    }
    for file in files(&dist) {
        gzip(project, &dist.join(&file), &compressed.join(format!("{}.gz", file.display())))?;
    }
    Ok(())
}

/// Compresses a file into another.
fn gzip(project: &Project, from: &Path, to: &Path) -> Done {
    let gzip = find("gzip").ok_or("`gzip` is missing: install it to measure the site's size.")?;
    let fail = |error: std::io::Error| format!("could not compress {}: {error}", from.display());
    std::fs::create_dir_all(to.parent().unwrap_or(to)).map_err(fail)?;
    let from = std::fs::File::open(from).map_err(fail)?;
    let to = std::fs::File::create(to).map_err(fail)?;
    let mut command = project.command(gzip);
    let status = command.args(["-9", "-n", "-c"]).stdin(Stdio::from(from)).stdout(Stdio::from(to)).status();
    if status.map_err(fail)?.success() { Ok(()) } else { Err("`gzip` failed".to_owned()) }
}

/// Prints what is fetched and fails where that is past a budget. The list is also written to `target/size.json`, for the end-to-end tests
/// to compare with what a browser really fetches.
pub fn report(project: &Project) -> Done {
    find("gzip").ok_or("`gzip` is missing: install it to measure the site's size.")?;
    let (dist, compressed) = (project.dist(), project.compressed());
    let row = |file: &String| {
        let length = |path: PathBuf| std::fs::metadata(path).map(|data| data.len()).unwrap_or(0);
        let raw = length(dist.join(file));
        let gzip = length(compressed.join(format!("{file}.gz")));
        let extension = Path::new(file).extension().and_then(|extension| extension.to_str()).unwrap_or("");
        (if COMPRESSED.contains(&extension) { raw } else { gzip }, raw, file.clone())
    };
    let all = all(&dist)?;
    let mut first = first_visit(&dist)?;
    // No page refers to the part that every screen needs: the script fetches it.
    first.extend(all.iter().filter(|file| file.ends_with(&format!("_{}.wasm", split::SCREENS))).cloned());
    let mut rows: Vec<(u64, u64, String)> = all.iter().map(row).collect();
    rows.sort_unstable_by(|one, other| other.cmp(one));
    println!("   {:>10} {:>10}", "as sent", "unpacked");
    for (sent, raw, file) in &rows {
        let before = if first.contains(file) { "first screen" } else { "" };
        println!("   {sent:>10} {raw:>10}  {before:<12}  {file}");
    }
    let sum = |wanted: &dyn Fn(&String) -> bool| -> u64 {
        rows.iter().filter(|(.., file)| wanted(file)).map(|(sent, ..)| sent).sum()
    };
    let screen = sum(&|file| first.contains(file));
    // The sums of the calculator that is the largest with all that it needs.
    let named = |file: &str, part: &str| file.ends_with(&format!("_{part}.wasm"));
    let part = |part: &str| sum(&|file| named(file, part));
    let index = shell::read(&dist.join("index.html"))?;
    let tags = html::tags(&index);
    let parts = tags.iter().find_map(|tag| tag.get("data-parts")).unwrap_or("");
    let own = parts.split(' ').filter_map(|entry| entry.split_once(':')).map(|(own, with)| part(own) + part(with));
    let sums = part(split::SHARED) + own.max().unwrap_or(0);
    let answer = screen + sums + part(split::PAGES);
    // Somebody else's page neither installs it nor needs its screens to begin with.
    let installs = |file: &str| named(file, split::SCREENS) || ICONS.iter().any(|kind| file.ends_with(kind));
    let guest = sums + sum(&|file| first.contains(file) && !installs(file));
    let whole = sum(&|_| true);
    let mut faults = Vec::new();
    for (bytes, budget, target, what) in [
        (screen, SCREEN, TARGET, "before the first screen"),
        (guest, GUEST, TARGET, "before the first answer of the largest calculator in another page"),
        (answer, ANSWER, TARGET, "before the first answer of the largest calculator"),
        (whole, ALL, TARGET, "all files, which a first visit fetches in the end"),
    ] {
        let (of_budget, of_target) = (bytes * 100 / budget, bytes * 100 / target);
        println!(
            "   {bytes:>10} {what}: {of_budget} % of the ceiling of {budget}, {of_target} % of the target of {target}"
        );
        if bytes > budget {
            faults.push(format!("{what}: {bytes} bytes, past the budget of {budget}"));
        }
    }
    let list = |files: &BTreeSet<String>| files.iter().map(|file| format!("{file:?}")).collect::<Vec<_>>().join(", ");
    let json = format!(
        "{{\"screen\": {screen}, \"answer\": {answer}, \"all\": {whole}, \"first\": [{}], \"files\": [{}]}}\n",
        list(&first),
        list(&all)
    );
    shell::write(&project.target.join("size.json"), &json)?;
    if faults.is_empty() { Ok(()) } else { Err(faults.join("; ")) }
}

/// All files that a first visit fetches in the end: those that its first screen needs, and the parts of the wasm that come after it.
pub fn all(dist: &Path) -> Done<BTreeSet<String>> {
    let mut all = first_visit(dist)?;
    let names = files(dist).into_iter().map(|file| file.to_string_lossy().into_owned());
    all.extend(names.filter(|file| file.ends_with(".wasm")));
    Ok(all)
}

/// All files below a folder, relative to it, in order.
pub fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(here) = folders.pop() {
        for entry in std::fs::read_dir(&here).into_iter().flatten().flatten() {
            let path = entry.path();
            if path.is_dir() {
                folders.push(path);
            } else if let Ok(relative) = path.strip_prefix(folder) {
                found.push(relative.to_owned());
            }
        }
    }
    found.sort();
    found
}

/// The files that opening the index page fetches: what it refers to, and what those refer to in turn.
pub fn first_visit(dist: &Path) -> Done<BTreeSet<String>> {
    let mut found = BTreeSet::new();
    let mut open = vec!["index.html".to_owned()];
    while let Some(file) = open.pop() {
        if found.contains(&file) {
            continue;
        }
        let path = dist.join(&file);
        let folder = Path::new(&file).parent().and_then(Path::to_str).unwrap_or("").to_owned();
        let text = || shell::read(&path);
        let (references, must_exist) = match path.extension().and_then(|extension| extension.to_str()) {
            Some("html") => (in_page(&text()?), true),
            Some("css") => (in_style(&text()?), true),
            Some("webmanifest") => (in_manifest(&text()?), true),
            // Any string in a script may be an address, so only those that are a file count.
            Some("js" | "mjs") => (in_script(&text()?), false),
            _ => (Vec::new(), false),
        };
        for reference in references {
            let Some(target) = resolve(&folder, &reference) else { continue };
            if dist.join(&target).is_file() {
                open.push(target);
            } else if must_exist {
                return Err(format!("{file} refers to {reference}, which was not built"));
            }
        }
        found.insert(file);
    }
    Ok(found)
}

/// A reference as a path inside the site; nothing for one that leads elsewhere.
fn resolve(folder: &str, reference: &str) -> Option<String> {
    let path = reference.split(['?', '#']).next().unwrap_or("");
    if path.is_empty() || path.starts_with('/') || path.contains(':') {
        return None;
    }
    let mut parts: Vec<&str> = folder.split('/').filter(|part| !part.is_empty()).collect();
    for part in path.split('/') {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop()?;
            }
            _ => parts.push(part),
        }
    }
    (!parts.is_empty()).then(|| parts.join("/"))
}

fn in_page(page: &str) -> Vec<String> {
    let fetched = ["stylesheet", "modulepreload", "preload", "icon", "apple-touch-icon", "manifest"];
    let mut references = Vec::new();
    for tag in html::tags(page) {
        let reference = match tag.name.as_str() {
            "link" => {
                let relations = tag.get("rel").unwrap_or("");
                let is_fetched = relations.split_whitespace().any(|relation| fetched.contains(&relation));
                tag.get("href").filter(|_| is_fetched)
            }
            "script" | "img" | "source" => tag.get("src"),
            _ => None,
        };
        references.extend(reference.map(str::to_owned));
    }
    references
}

fn in_style(style: &str) -> Vec<String> {
    let urls = style.split("url(").skip(1).filter_map(|rest| rest.split(')').next());
    urls.map(|url| url.trim().trim_matches(['"', '\'']).to_owned()).collect()
}

fn in_manifest(manifest: &str) -> Vec<String> {
    let values = manifest.split("\"src\"").skip(1);
    values.filter_map(|rest| rest.trim_start().strip_prefix(':')?.split('"').nth(1)).map(str::to_owned).collect()
}

fn in_script(script: &str) -> Vec<String> {
    let strings = script.split(['"', '\'', '`']);
    strings.filter(|text| text.starts_with("./") && text.len() < 200).map(str::to_owned).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn follows_references_from_file_to_file() {
        let folder = std::env::temp_dir().join(format!("xtask-{}-size", std::process::id()));
        let page = "<link rel=stylesheet href=./s.css><link rel=manifest href=m.webmanifest>\
                    <link rel=canonical href=https://example.org/><script src=./boot.js></script><a href=other.html>";
        for (file, text) in [
            ("index.html", page),
            ("s.css", "a{background:url(\"i/a.png\")}b{background:url(data:image/png;base64,x)}"),
            ("m.webmanifest", "{\"icons\": [{\"src\": \"i/b.png\", \"sizes\": \"1x1\"}]}"),
            ("boot.js", "import('./deep/more.js'); const no = './not-a-file';"),
            ("deep/more.js", "import x from './last.js'"),
            ("deep/last.js", ""),
            ("i/a.png", ""),
            ("i/b.png", ""),
            ("other.html", ""),
        ] {
            shell::write(&folder.join(file), text).unwrap();
        }
        let found: Vec<String> = first_visit(&folder).unwrap().into_iter().collect();
        let expected =
            ["boot.js", "deep/last.js", "deep/more.js", "i/a.png", "i/b.png", "index.html", "m.webmanifest", "s.css"];
        assert_eq!(found, expected);
        assert_eq!(files(&folder).len(), 9);
    }

    #[test]
    fn a_reference_to_nothing_is_an_error() {
        let folder = std::env::temp_dir().join(format!("xtask-{}-size-missing", std::process::id()));
        shell::write(&folder.join("index.html"), "<script src=gone.js></script>").unwrap();
        assert!(first_visit(&folder).is_err_and(|error| error.contains("gone.js")));
    }

    #[test]
    fn resolves_as_a_browser_does() {
        assert_eq!(resolve("", "./a.js").as_deref(), Some("a.js"));
        assert_eq!(resolve("x/y", "../a.js?v=1#z").as_deref(), Some("x/a.js"));
        for elsewhere in ["", "#top", "/a.js", "https://example.org/a.js", "data:image/png,x", "../../a.js"] {
            assert_eq!(resolve("x", elsewhere), None, "{elsewhere}");
        }
    }
}
