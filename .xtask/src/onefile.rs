//! The whole app in one file that starts from a stick, without a server: styles, scripts and WebAssembly stand in the page itself, and a
//! policy allows exactly them. What is large is packed, by LZMA: a fifth smaller than by what browsers unpack themselves, and no server
//! packs a file on a stick. `src/app/unpack.js` unpacks it.

use crate::project::Project;
use crate::sha256::source;
use crate::shell::{self, Done, find_in, say};
use crate::web::{self, Web};
use crate::{glue, html, offline, order};
use lzma_rust2::{LzmaOptions, LzmaWriter};
use std::io::Write;
use std::path::{Path, PathBuf};

/// The bytes that the file should have at the most.
const TARGET: u64 = 450_000;
/// The bytes that it may have at the most today; they go down, until they are the target.
const CEILING: u64 = 857_000;
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
    let fitted = glue::fitted(&glue(project)?, &wasm(project)?).ok_or("the built wasm is not understood")?;
    let parts = Parts {
        page: shell::read(&project.root.join("index.html"))?,
        version: tags
            .iter()
            .find(|tag| tag.get("name") == Some("version"))
            .and_then(|tag| tag.get("content"))
            .unwrap_or(""),
        address: &offline::address()?,
        style: &style,
        glue: &fitted.script,
        unpack: &web::bare_script(&shell::read(&project.root.join("src/app/unpack.js"))?),
        boot: &shell::read(&dist.join(boot))?,
        wasm: &fitted.wasm,
    };
    let page = parts.whole()?;
    let to = path(project);
    shell::write(&to, &page)?;
    let length = page.len() as u64;
    say(&format!("{}: {length} bytes, {} % of the target of {TARGET}", project.short(&to), length * 100 / TARGET));
    if length > CEILING {
        return Err(format!("the one file has {length} bytes, past its budget of {CEILING}"));
    }
    Ok(())
}

/// The whole WebAssembly, which is in parts only on a site, in an order that packs well.
fn wasm(project: &Project) -> Done<Vec<u8>> {
    let whole = std::fs::read(project.whole()).map_err(|error| format!("could not read the WebAssembly: {error}"))?;
    Ok(order::reorder(&whole).unwrap_or(whole))
}

/// Bytes as LZMA without a header, with the settings that `unpack.js` knows.
fn packed(bytes: &[u8]) -> Done<Vec<u8>> {
    let fail = |error: std::io::Error| format!("could not pack the app: {error}");
    let mut options = LzmaOptions::with_preset(9);
    (options.lc, options.lp, options.pb) = (4, 0, 0);
    (options.dict_size, options.nice_len, options.depth_limit) = (1 << 22, 273, 1000);
    let mut writer = LzmaWriter::new_no_header(Vec::new(), &options, false).map_err(fail)?;
    writer.write_all(bytes).map_err(fail)?;
    writer.finish().map_err(fail)
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

/// What a page does not keep as it is (nothing, the end of a line on some machines), and what could end the element that the text stands in.
const AWAY: [u8; 3] = [0, b'\r', b'<'];

/// Bytes as text, seven bits a letter, which takes a seventh more. In place of a letter that must not be, two stand in one of a later
/// part of the alphabet, which takes the two bytes that they would.
fn as_text(bytes: &[u8]) -> String {
    let bit = |at: usize| bytes.get(at / 8).map_or(0, |byte| byte >> (7 - at % 8) & 1);
    let seven = |letter: usize| (0..7).fold(0u8, |all, i| all << 1 | bit(letter * 7 + i));
    let mut text = String::with_capacity(bytes.len() * 8 / 7 + 2);
    let mut letters = (0..(bytes.len() * 8).div_ceil(7)).map(seven);
    while let Some(letter) = letters.next() {
        let code = match AWAY.iter().zip(1u32..).find(|(away, _)| **away == letter) {
            None => u32::from(letter),
            Some((_, which)) => which << 7 | u32::from(letters.next().unwrap_or(0)),
        };
        text.extend(char::from_u32(code));
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
    unpack: &'a str,
    boot: &'a str,
    wasm: &'a [u8],
}

impl Parts<'_> {
    fn whole(&self) -> Done<String> {
        for (name, text, end) in [
            ("style", self.style, "</style"),
            ("unpacking script", self.unpack, "</script"),
            ("script", self.boot, "</script"),
        ] {
            let low = text.to_ascii_lowercase();
            if low.contains(end) || low.contains("<!--") {
                return Err(format!("the {name} holds what would end its own element"));
            }
        }
        let policy = format!(
            "default-src 'none'; script-src '{}' '{}' '{}' 'wasm-unsafe-eval'; style-src '{}'; img-src data: blob:; base-uri 'none'; form-action 'none'",
            source(self.glue.as_bytes()),
            source(self.unpack.as_bytes()),
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
        // The glue first: the page makes a script of it when it is unpacked, which the policy knows by its contents.
        let all = [self.glue.as_bytes(), self.wasm].concat();
        let end = format!(
            "<script type=\"text/plain\" id=\"app-packed\" data-bytes=\"{}\" data-glue=\"{}\">{}</script>\n<script>{}</script>\n<script type=\"module\">{}</script>\n</body>",
            all.len(),
            self.glue.len(),
            as_text(&packed(&all)?),
            self.unpack,
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

    /// The reader of `unpack.js`, in Rust.
    fn bytes(text: &str) -> Vec<u8> {
        let sevens = text.chars().map(u32::from).flat_map(|code| match code >> 7 {
            0 => vec![code],
            which => vec![u32::from(AWAY[which as usize - 1]), code & 127],
        });
        let bits: Vec<u32> = sevens.flat_map(|seven| (0..7).rev().map(move |i| seven >> i & 1)).collect();
        bits.chunks_exact(8).map(|eight| eight.iter().fold(0, |byte, bit| byte << 1 | *bit as u8)).collect()
    }

    #[test]
    fn bytes_as_text_and_back() {
        let all: Vec<u8> = (0..=255).chain([255; 9]).chain([0; 9]).chain(*b"<<<\r\r").collect();
        for end in 0..all.len() {
            let text = as_text(&all[..end]);
            assert!(text.bytes().all(|byte| !AWAY.contains(&byte)), "{text:?}");
            assert_eq!(bytes(&text)[..end], all[..end]);
            // At most one empty byte, behind a letter that must not be and had no other after it.
            assert!(bytes(&text)[end..].iter().all(|byte| *byte == 0) && bytes(&text).len() <= end + 1);
        }
    }

    #[test]
    fn what_is_packed_is_smaller_and_whole() {
        let all = include_bytes!("onefile.rs");
        let packed = packed(all).unwrap();
        assert!(packed.len() < all.len() / 2, "{} of {}", packed.len(), all.len());
        let mut back = Vec::new();
        let (length, dictionary) = (all.len() as u64, 1 << 22);
        let mut reader = lzma_rust2::LzmaReader::new(&packed[..], length, 4, 0, 0, dictionary, None).unwrap();
        std::io::Read::read_to_end(&mut reader, &mut back).unwrap();
        assert_eq!(back, all);
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
            unpack: "u()",
            boot: "b()",
            wasm: b"x",
        };
        let whole = parts.whole().unwrap();
        let tags = html::tags(&whole);
        let policy = html::policy(&tags).unwrap();
        for part in ["a{}", "g()", "u()", "b()"] {
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
