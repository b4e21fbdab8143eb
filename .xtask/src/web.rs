//! Building the site that a browser opens.

use crate::html;
use crate::machine::{self, Way};
use crate::project::Project;
use crate::sha256::short;
use crate::shell::{self, Done, say};
use crate::{glue, offline, size, split, tools, wasm};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::PathBuf;
use std::process::Command;

/// All that building for the browser needs.
#[derive(Debug)]
pub struct Web {
    /// How Rust is compiled.
    pub way: Way,
    /// The folders of the tools.
    pub tools: Vec<PathBuf>,
}

impl Web {
    /// Finds or prepares it.
    pub fn ready(project: &Project) -> Done<Web> {
        let way = machine::wasm(project)?;
        say(way.sentence());
        Ok(Web { way, tools: tools::ready(project)? })
    }

    /// Cargo, set to build for the browser.
    pub fn cargo(&self, project: &Project) -> Command {
        self.way.cargo(project, &self.tools)
    }
}

/// Builds the site into `target/dist`, where anything changed since the last time.
pub fn build(project: &Project) -> Done {
    let stamp = project.target.join("dist.stamp");
    let now = fingerprint(project);
    let dist = project.dist();
    if dist.join("index.html").is_file() && std::fs::read_to_string(&stamp).is_ok_and(|then| then == now) {
        say(&format!("the site in {} is up to date", project.short(&dist)));
        return Ok(());
    }
    let web = Web::ready(project)?;
    let _ = std::fs::remove_file(&stamp);
    let program = web.tools.iter().find_map(|folder| shell::find_in(folder, "trunk")).ok_or("trunk is missing")?;
    let mut trunk = web.way.equip(project.command(program), project, &web.tools);
    // A NO_COLOR that is set to 1, as it often is, is not among the values that trunk takes.
    trunk.env_remove("NO_COLOR").env_remove("RUST_BACKTRACE").env("TRUNK_SKIP_VERSION_CHECK", "true");
    machine::site(project, web.way, &mut trunk);
    shell::run(trunk.args(["build", "--release"]))?;
    split(project)?;
    bare_scripts(project)?;
    join_styles(project)?;
    offline::add(project)?;
    check_policy(project)?;
    size::compress(project)?;
    shell::write(&stamp, &now)
}

/// Fits the built wasm and its script to each other, and splits the wasm into parts, without what only tools read and with functions in an
/// order that compresses well. The page says which parts there are. The whole is put aside for the one file.
fn split(project: &Project) -> Done {
    let dist = project.dist();
    let is_wasm = |file: &&PathBuf| file.to_string_lossy().ends_with(WASM_END);
    let is_glue = |file: &&PathBuf| {
        let name = file.to_string_lossy();
        name.starts_with("brimwise-") && name.ends_with(".js")
    };
    let files = size::files(&dist);
    let file = files.iter().find(|file| is_wasm(file)).ok_or("the built site has no wasm")?;
    let name = file.to_string_lossy().into_owned();
    let fail = |error: std::io::Error| format!("could not split {name}: {error}");
    let script = files.iter().find(|file| is_glue(file)).ok_or("the built site has no script of its wasm")?;
    let built = std::fs::read(dist.join(file)).map_err(fail)?;
    let glue::Fitted { script: bare, wasm: finished } =
        glue::fitted(&shell::read(&dist.join(script))?, &built).ok_or(format!("{name} is no whole wasm file"))?;
    shell::write(&dist.join(script), &bare)?;
    let linked = std::fs::read(linked(project)).map_err(fail)?;
    let whole = wasm::bare(&built).ok_or(format!("{name} is no whole wasm file"))?;
    std::fs::write(project.whole(), whole).map_err(fail)?;
    let parts = split::split(&linked, &finished)?;
    // Parts of two builds do not fit each other, so they are named by the contents of all of them.
    let stem =
        format!("brimwise-{}", short(&parts.iter().flat_map(|part| part.file.iter().copied()).collect::<Vec<u8>>()));
    std::fs::remove_file(dist.join(file)).map_err(fail)?;
    for part in &parts {
        std::fs::write(dist.join(format!("{stem}_{}.wasm", part.name)), &part.file).map_err(fail)?;
    }
    let index = dist.join("index.html");
    let page = shell::read(&index)?.replace(&name, &format!("{stem}{WASM_END}"));
    let named = parts.iter().skip(1).map(|part| match part.with {
        Some(with) => format!("{}:{with}", part.name),
        None => part.name.clone(),
    });
    let page = with_parts(&page, &named.collect::<Vec<_>>())
        .ok_or("the built index.html does not name its wasm as expected")?;
    shell::write(&index, &page)
}

/// The end of the built wasm's name; those of its parts have the part's name there.
const WASM_END: &str = "_bg.wasm";

/// What the linker has made.
pub fn linked(project: &Project) -> PathBuf {
    project.web_target().join(machine::WASM).join("web").join("brimwise.wasm")
}

/// The page, saying which parts there are besides the first, and after a colon what each is needed with.
fn with_parts(page: &str, names: &[String]) -> Option<String> {
    let marks: Vec<&str> =
        ["id=\"app-wasm\"", "id=app-wasm"].into_iter().filter(|mark| page.matches(mark).count() == 1).collect();
    let mark = marks.first()?;
    Some(page.replacen(mark, &format!("{mark} data-parts=\"{}\"", names.join(" ")), 1))
}

/// Leaves out of the page's scripts what only people read, and names them by what they then hold.
fn bare_scripts(project: &Project) -> Done {
    let dist = project.dist();
    let index = dist.join("index.html");
    let mut page = shell::read(&index)?;
    for file in size::files(&dist) {
        let name = file.to_string_lossy().into_owned();
        let Some((stem, _)) = name.strip_suffix(".js").and_then(|name| name.rsplit_once('-')) else { continue };
        let bare = bare_script(&shell::read(&dist.join(&file))?);
        let own = format!("{stem}-{}.js", short(bare.as_bytes()));
        if !page.contains(&name) {
            return Err(format!("the built index.html does not name {name}"));
        }
        page = page.replace(&name, &own);
        std::fs::remove_file(dist.join(&file)).map_err(|error| format!("could not remove {name}: {error}"))?;
        shell::write(&dist.join(own), &bare)?;
    }
    shell::write(&index, &page)
}

/// A script without the lines that are comments, and without what indents the others.
pub fn bare_script(script: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for line in script.lines().map(str::trim) {
        inside |= line.starts_with("/*");
        if inside {
            inside = !line.ends_with("*/");
        } else if !line.is_empty() && !line.starts_with("//") {
            out += line;
            out.push('\n');
        }
    }
    out
}

/// Makes one style sheet of the page's several, in their order: one is fetched sooner, and compresses better, than many.
fn join_styles(project: &Project) -> Done {
    let dist = project.dist();
    let index = dist.join("index.html");
    let page = shell::read(&index)?;
    let sheets: Vec<String> = html::tags(&page).iter().filter_map(style_sheet).collect();
    let mut all = String::new();
    for sheet in &sheets {
        all += &shell::read(&dist.join(sheet))?;
    }
    let name = format!("style-{}.css", short(all.as_bytes()));
    let page = one_sheet(&page, &name).ok_or("the built index.html does not name its style sheets as expected")?;
    for sheet in &sheets {
        std::fs::remove_file(dist.join(sheet)).map_err(|error| format!("could not remove {sheet}: {error}"))?;
    }
    shell::write(&dist.join(name), &all)?;
    shell::write(&index, &page)
}

/// The file of a style sheet that a tag links to.
fn style_sheet(tag: &html::Tag) -> Option<String> {
    let linked = tag.name == "link" && tag.get("rel") == Some("stylesheet") && tag.get("media").is_none();
    tag.get("href").filter(|_| linked).map(|href| href.trim_start_matches("./").to_owned())
}

/// The page with its first link to a style sheet leading to `name`, and without the others.
fn one_sheet(page: &str, name: &str) -> Option<String> {
    let mut out = String::new();
    let mut rest = page;
    let mut found = 0;
    while let Some(at) = rest.find("<link") {
        let (before, from) = rest.split_at(at);
        let (link, after) = from.split_at(from.find('>')? + 1);
        out += before;
        match html::tags(link).first().and_then(style_sheet) {
            Some(_) if found > 0 => {}
            Some(sheet) => {
                found += 1;
                out += &link.replace(&sheet, name);
            }
            None => out += link,
        }
        rest = after;
    }
    (found > 0).then(|| out + rest)
}

/// Fails where the built page holds what its own policy would refuse, or has no policy.
fn check_policy(project: &Project) -> Done {
    let tags = html::tags(&shell::read(&project.dist().join("index.html"))?);
    if html::policy(&tags).is_none() {
        return Err("the built index.html carries no content-security policy".to_owned());
    }
    match html::inline_code(&tags) {
        found if found.is_empty() => Ok(()),
        found => Err(format!("the built index.html holds what a strict policy refuses: {}", found.join(", "))),
    }
}

/// A text that changes when anything changes that the site is built from.
fn fingerprint(project: &Project) -> String {
    let mut hasher = DefaultHasher::new();
    for part in ["src", "style", ".xtask", "index.html", "Trunk.toml", "Cargo.toml", "Cargo.lock", ".cargo"] {
        let path = project.root.join(part);
        let files = if path.is_dir() { size::files(&path) } else { vec![PathBuf::new()] };
        for file in files {
            // Joining nothing would add a slash to a file's own path.
            let full = if file.as_os_str().is_empty() { path.clone() } else { path.join(&file) };
            let data = std::fs::metadata(&full).ok();
            let facts = data.map(|data| (data.len(), data.modified().ok()));
            (part, file, facts).hash(&mut hasher);
        }
    }
    for name in ["BRIMWISE_WASM", "RUSTFLAGS", offline::ADDRESS] {
        shell::variable(name).hash(&mut hasher);
    }
    format!("{:016x}", hasher.finish())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_names_its_parts() {
        for page in ["<link id=\"app-wasm\" as=fetch>", "<link as=fetch id=app-wasm>"] {
            let named = with_parts(page, &["drain:shared1".to_owned(), "rest".to_owned()]).unwrap();
            assert_eq!(html::tags(&named)[0].get("data-parts"), Some("drain:shared1 rest"), "{named}");
        }
        assert_eq!(with_parts("<link id=app-js>", &["rest".to_owned()]), None);
    }

    #[test]
    fn scripts_keep_what_browsers_read() {
        let script = "// What it does.\nconst a = \"// no comment\"; // one\n\n/** One\n * of several lines */\n  if (a) {\n    /* short */\n    f(`/*`);\n  }\n";
        assert_eq!(bare_script(script), "const a = \"// no comment\"; // one\nif (a) {\nf(`/*`);\n}\n");
    }

    #[test]
    fn one_link_stays_where_the_first_was() {
        let page = "<head><link href=./a-1.css rel=stylesheet><link href=data:, rel=icon><link href=./b-2.css rel=stylesheet><link \
                    href=./c.css rel=stylesheet media=print><body>";
        let expected = "<head><link href=./style-x.css rel=stylesheet><link href=data:, rel=icon><link \
                        href=./c.css rel=stylesheet media=print><body>";
        assert_eq!(one_sheet(page, "style-x.css").as_deref(), Some(expected));
        assert_eq!(one_sheet("<link href=data:, rel=icon>", "style-x.css"), None);
    }
}
