//! The whole app in one file that starts from a stick, without a server: styles, script and WebAssembly stand in the page itself, and a
//! policy allows exactly them.

use crate::project::Project;
use crate::sha256::source;
use crate::shell::{self, Done, find_in, say};
use crate::web::{self, Web};
use crate::{html, offline, order, size};
use std::path::{Path, PathBuf};

/// The bytes that the file should have at the most.
const TARGET: u64 = 450_000;
/// What the glue calls itself there; `boot.js` knows it.
const GLOBAL: &str = "brimwise";

/// Where it is put.
pub fn path(project: &Project) -> PathBuf {
    project.target.join("brimwise.html")
}

/// Builds the site, then the file from it.
pub fn build(project: &Project) -> Done {
    web::build(project)?;
    let dist = project.dist();
    let index = shell::read(&dist.join("index.html"))?;
    let tags = html::tags(&index);
    let boot = named_script(&tags).ok_or("the built index.html loads no script")?;
    let mut style = String::new();
    for tag in tags.iter().filter(|tag| tag.name == "link" && tag.get("rel") == Some("stylesheet")) {
        style += &shell::read(&dist.join(tag.get("href").unwrap_or_default()))?;
    }
    let packed = packed(project)?;
    let parts = Parts {
        page: shell::read(&project.root.join("index.html"))?,
        version: tags
            .iter()
            .find(|tag| tag.get("name") == Some("version"))
            .and_then(|tag| tag.get("content"))
            .unwrap_or(""),
        address: &offline::address()?,
        style: &style,
        glue: &squeezed(&glue(project)?),
        boot: &shell::read(&dist.join(boot))?,
        packed: &packed,
    };
    let page = parts.whole()?;
    let to = path(project);
    shell::write(&to, &page)?;
    let (length, wasm) = (page.len() as u64, parts.packed.len());
    say(&format!(
        "{}: {length} bytes, {} % of the target of {TARGET}; {wasm} of them are the compressed WebAssembly, before it is written as text",
        project.short(&to),
        length * 100 / TARGET
    ));
    Ok(())
}

/// The whole WebAssembly, which is in parts only on a site, compressed.
fn packed(project: &Project) -> Done<Vec<u8>> {
    let fail = |error: std::io::Error| format!("could not compress the WebAssembly: {error}");
    let whole = std::fs::read(project.whole()).map_err(fail)?;
    let folder = project.target.join("onefile");
    let (plain, packed) = (folder.join("whole.wasm"), folder.join("whole.wasm.gz"));
    std::fs::create_dir_all(&folder).map_err(fail)?;
    std::fs::write(&plain, order::reorder(&whole).unwrap_or(whole)).map_err(fail)?;
    size::gzip(project, &plain, &packed)?;
    std::fs::read(&packed).map_err(fail)
}

fn named_script(tags: &[html::Tag]) -> Option<&str> {
    tags.iter().find(|tag| tag.name == "script")?.get("src")
}

/// The script that fits the built wasm, as one that needs no loading of modules: those cannot be loaded from a file.
fn glue(project: &Project) -> Done<String> {
    let web = Web::ready(project)?;
    let program =
        web.tools.iter().find_map(|folder| find_in(folder, "wasm-bindgen")).ok_or("wasm-bindgen is missing")?;
    let built = web::linked(project);
    let folder = project.target.join("onefile");
    let mut command = project.command(program);
    command.args([
        "--target",
        "no-modules",
        "--no-modules-global",
        GLOBAL,
        "--no-typescript",
        "--no-demangle",
        "--out-name",
        GLOBAL,
    ]);
    shell::run_quietly(command.arg("--out-dir").arg(&folder).arg(built))?;
    shell::read(&folder.join("brimwise.js"))
}

/// A generated script without its comments and indents. Only whole lines are taken away, and such scripts hold no text over several lines.
fn squeezed(script: &str) -> String {
    let mut out = String::new();
    let mut in_comment = false;
    for line in script.lines().map(str::trim) {
        let begins = line.starts_with("/*");
        let skip = in_comment || begins || line.starts_with("//") || line.is_empty();
        in_comment = (in_comment || begins) && !line.contains("*/");
        if !skip {
            out += line;
            out.push('\n');
        }
    }
    out
}

/// Bytes as text: every four of them as five digits to the base of 85, which takes a quarter more; with base 64 it would be a third. The
/// digits are the printable characters from `(` on, without `<`, which could end the element that they stand in.
fn as_text(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len() / 4 * 5 + 5);
    for four in bytes.chunks(4) {
        let mut word = (0..4).fold(0u32, |word, i| word << 8 | u32::from(four.get(i).copied().unwrap_or(0)));
        let mut digits = [0u8; 5];
        for digit in digits.iter_mut().rev() {
            *digit = b'(' + (word % 85) as u8;
            *digit += u8::from(*digit >= b'<');
            word /= 85;
        }
        text.extend(digits.map(char::from));
    }
    text
}

/// All that the file is made of.
struct Parts<'a> {
    page: String,
    version: &'a str,
    address: &'a str,
    style: &'a str,
    glue: &'a str,
    boot: &'a str,
    packed: &'a [u8],
}

impl Parts<'_> {
    fn whole(&self) -> Done<String> {
        for (name, text, end) in
            [("style", self.style, "</style"), ("glue", self.glue, "</script"), ("script", self.boot, "</script")]
        {
            let low = text.to_ascii_lowercase();
            if low.contains(end) || low.contains("<!--") {
                return Err(format!("the {name} holds what would end its own element"));
            }
        }
        let policy = format!(
            "default-src 'none'; script-src '{}' '{}' 'wasm-unsafe-eval'; style-src '{}'; img-src data: blob:; base-uri 'none'; form-action 'none'",
            source(self.glue.as_bytes()),
            source(self.boot.as_bytes()),
            source(self.style.as_bytes()),
        );
        // The page's source, without what it loads, and with a policy of its own.
        let loads = |line: &str| line.starts_with("<link") && !line.contains("href=\"data:");
        let kept = |line: &&str| !loads(line) && !line.starts_with("<script");
        let mut page: String = self.page.lines().filter(kept).map(|line| format!("{line}\n")).collect();
        let old = html::policy(&html::tags(&page)).ok_or("index.html carries no content-security policy")?.to_owned();
        page = page.replacen(&old, &policy, 1);
        let mut head = format!("<meta name=\"version\" content=\"{}\">\n", self.version);
        head += &offline::address_tag(self.address);
        head += &format!("<style>{}</style>\n</head>", self.style);
        let end = format!(
            "<script type=\"text/plain\" id=\"app-packed\" data-bytes=\"{}\">{}</script>\n<script>{}</script>\n<script type=\"module\">{}</script>\n</body>",
            self.packed.len(),
            as_text(self.packed),
            self.glue,
            self.boot
        );
        for place in ["</head>", "</body>"] {
            if page.matches(place).count() != 1 {
                return Err(format!("index.html must hold {place} once"));
            }
        }
        Ok(page.replacen("</head>", &head, 1).replacen("</body>", &end, 1))
    }
}

/// Is the file as new as the site that it is made from?
pub fn is_current(project: &Project) -> bool {
    let time = |path: &Path| std::fs::metadata(path).and_then(|data| data.modified()).ok();
    time(&path(project)).is_some_and(|own| time(&project.target.join("dist.stamp")).is_some_and(|site| site < own))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The reader of `boot.js`, in Rust.
    fn bytes(text: &str) -> Vec<u8> {
        let digit = |c: u8| u64::from(c) - 40 - u64::from(c > 60);
        let word = |five: &[u8]| u32::try_from(five.iter().fold(0, |word, &c| word * 85 + digit(c))).unwrap();
        text.as_bytes().chunks(5).flat_map(|five| word(five).to_be_bytes()).collect()
    }

    #[test]
    fn bytes_as_text_and_back() {
        let all: Vec<u8> = (0..=255).chain([255; 8]).chain([0; 8]).collect();
        let text = as_text(&all);
        assert!(text.bytes().all(|c| (b'('..=b'}').contains(&c) && c != b'<'), "{text}");
        assert_eq!(bytes(&text), all);
        assert_eq!(bytes(&as_text(&[7])), [7, 0, 0, 0]);
        assert_eq!(as_text(&[]), "");
    }

    #[test]
    fn only_comments_and_indents_go() {
        let script = "/**\n * what\n */\nlet a = 1; // stays\n  // goes\n\n    b(`/*`);\n/* one line */\nc();\n";
        assert_eq!(squeezed(script), "let a = 1; // stays\nb(`/*`);\nc();\n");
    }

    #[test]
    fn the_policy_allows_exactly_what_is_there() {
        let project = Project::here().unwrap();
        let page = shell::read(&project.root.join("index.html")).unwrap();
        let parts = Parts {
            page,
            version: "7f",
            address: "https://club.example/",
            style: "a{}",
            glue: "g()",
            boot: "b()",
            packed: b"x",
        };
        let whole = parts.whole().unwrap();
        let tags = html::tags(&whole);
        let policy = html::policy(&tags).unwrap();
        for part in ["a{}", "g()", "b()"] {
            assert_eq!(policy.matches(&source(part.as_bytes())).count(), 1, "{part}");
        }
        assert!(!policy.contains("'self'") && !policy.contains("unsafe-inline"), "{policy}");
        assert!(whole.contains("content=\"https://club.example/\""));
        let elsewhere =
            |tag: &html::Tag| tag.get("href").is_some_and(|to| !to.starts_with("data:") && !to.starts_with('#'));
        let loads = |tag: &&html::Tag| elsewhere(tag) || tag.get("src").is_some();
        assert_eq!(tags.iter().filter(loads).count(), 0, "it loads something");
        assert!(Parts { boot: "'</script>'", ..parts }.whole().is_err());
    }
}
