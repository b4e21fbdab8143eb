//! The script that lies between the page and its WebAssembly, made by a tool that names what passes between them at length and hands out
//! more than is asked for. Both are sent, so both are told shorter names, and what the script never asks for is not handed out: the splitter
//! then leaves out what only that needed.

use crate::wasm::{self, BEGINNING, Export, list, number, put, sections, text};
use crate::web::bare_script;
use std::collections::{BTreeMap, BTreeSet};

/// A script, and the wasm that it fits.
#[derive(Debug, PartialEq, Eq)]
pub struct Fitted {
    /// The script.
    pub script: String,
    /// The wasm file.
    pub wasm: Vec<u8>,
}

/// Both with short names, and without what nobody asks for and what only people read; nothing where the wasm is none.
pub fn fitted(script: &str, wasm: &[u8]) -> Option<Fitted> {
    let script = bare_script(&without_unmade(script));
    let all = sections(wasm)?;
    let section = |kind: u8| all.iter().find(|section| section.kind == kind).map_or(&[0][..], |section| section.body);
    let (imports, exports) = (wasm::imports(section(2))?, wasm::exports(section(7))?);

    let taken: BTreeSet<&str> = words(&script).collect();
    let exports: Vec<Export> = exports.into_iter().filter(|export| taken.contains(export.name)).collect();
    let mut short: BTreeMap<&str, String> = BTreeMap::new();
    let long = imports.iter().map(|import| import.name).chain(exports.iter().map(|export| export.name));
    let mut free = (0..).map(|at: usize| format!("_{at:x}")).filter(|name| !taken.contains(name.as_str()));
    // Only the tool's own names, of which a script has no others.
    for name in long.filter(|name| name.starts_with("__wb") || name.starts_with("_R")) {
        short.insert(name, free.next()?);
    }
    let told = |name: &str| short.get(name).cloned().unwrap_or_else(|| name.to_owned());

    let mut out = BEGINNING.to_vec();
    for one in &all {
        match one.kind {
            2 => {
                let entries = imports.iter().map(|import| {
                    [&text(import.from)[..], &text(&told(import.name)), &[0], &number(import.kind)].concat()
                });
                put(&mut out, 2, &list(entries));
            }
            7 => {
                let entries = exports
                    .iter()
                    .map(|export| [&text(&told(export.name))[..], &[export.kind], &number(export.number)].concat());
                put(&mut out, 7, &list(entries));
            }
            _ => out.extend(one.whole),
        }
    }
    let script = pieces(&script).map(|piece| if is_name(piece) { told(piece) } else { piece.to_owned() }).collect();
    Some(Fitted { script, wasm: out })
}

/// The script without classes that it never makes anything of: the libraries that are linked have some.
fn without_unmade(script: &str) -> String {
    let lines: Vec<&str> = script.lines().collect();
    let mut gone = vec![false; lines.len()];
    for (start, line) in lines.iter().enumerate() {
        let Some(name) = line.strip_prefix("export class ").and_then(|rest| rest.strip_suffix(" {")) else { continue };
        let Some(end) = lines.iter().skip(start).position(|line| *line == "}").map(|lines| start + lines) else {
            continue;
        };
        let disposed = format!("if (Symbol.dispose) {name}.");
        let finalised = format!("const {name}Finalization = ");
        let mut own: BTreeSet<usize> = (start..=end).collect();
        for (at, line) in lines.iter().enumerate() {
            if line.starts_with(&disposed) {
                own.insert(at);
            } else if line.starts_with(&finalised) {
                own.extend(
                    at..lines.len().min(at + 1 + lines[at..].iter().take_while(|line| !line.ends_with(';')).count()),
                );
            }
        }
        let others = lines.iter().enumerate().filter(|(at, _)| !own.contains(at));
        let others = bare_script(&others.map(|(_, line)| format!("{line}\n")).collect::<String>());
        if words(&others).all(|word| word != name) {
            own.into_iter().for_each(|at| gone[at] = true);
        }
    }
    lines.iter().zip(gone).filter(|(_, gone)| !gone).map(|(line, _)| format!("{line}\n")).collect()
}

/// A script in pieces: its words, and what is between them.
fn pieces(script: &str) -> impl Iterator<Item = &str> {
    let mut rest = script;
    std::iter::from_fn(move || {
        let word = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '$';
        let inside = word(rest.chars().next()?);
        let (piece, after) = rest.split_at(rest.find(|c| word(c) != inside).unwrap_or(rest.len()));
        rest = after;
        Some(piece)
    })
}

fn words(script: &str) -> impl Iterator<Item = &str> {
    pieces(script).filter(|piece| is_name(piece))
}

fn is_name(piece: &str) -> bool {
    piece.starts_with(|c: char| c.is_ascii_alphabetic() || c == '_' || c == '$')
}

#[cfg(test)]
mod tests {
    use super::*;

    const SCRIPT: &str = "export class Made {
    free() {
        wasm.__wbg_made_free(this.p, 0);
    }
}
if (Symbol.dispose) Made.prototype[Symbol.dispose] = Made.prototype.free;
/** Like `Unmade`. */
export class Unmade {
    free() {
        UnmadeFinalization.unregister(this);
        wasm.__wbg_unmade_free(this.p, 0);
    }
}
if (Symbol.dispose) Unmade.prototype[Symbol.dispose] = Unmade.prototype.free;
const imports = {
    __wbg_new_1a2b: function() {
        return new Made(\"__wbg_new_1a2b\");
    },
};
const UnmadeFinalization = none
    ? {}
    : new FinalizationRegistry(ptr => wasm.__wbg_unmade_free(ptr, 1));
function _R1invoke(a) {
    wasm._R1invoke(a, wasm.memory, _0);
}
";

    fn file(imports: &[&str], exports: &[(&str, u8)]) -> Vec<u8> {
        let mut out = BEGINNING.to_vec();
        put(&mut out, 1, &[1, 0x60, 0, 0]);
        let entries = imports.iter().map(|name| [&text("./glue.js")[..], &text(name), &[0, 0]].concat());
        put(&mut out, 2, &list(entries));
        let entries =
            exports.iter().enumerate().map(|(at, (name, kind))| [&text(name)[..], &[*kind, at as u8]].concat());
        put(&mut out, 7, &list(entries));
        put(&mut out, 0, b"\x04name!");
        out
    }

    #[test]
    fn both_are_told_the_same_names() {
        let exports = [
            ("memory", 2),
            ("main", 0),
            ("marker", 3),
            ("__wbg_made_free", 0),
            ("__wbg_unmade_free", 0),
            ("_R1invoke", 0),
        ];
        let found = fitted(SCRIPT, &file(&["__wbg_new_1a2b"], &exports)).expect("a wasm file");
        let all = sections(&found.wasm).expect("a wasm file");
        let body = |kind: u8| all.iter().find(|section| section.kind == kind).expect("a section").body;
        // The name `_0` is the script's own.
        let given: Vec<&str> = wasm::imports(body(2)).expect("imports").iter().map(|import| import.name).collect();
        assert_eq!(given, ["_1"]);
        let handed = wasm::exports(body(7)).expect("exports").into_iter();
        let handed: Vec<(&str, u8, usize)> = handed.map(|export| (export.name, export.kind, export.number)).collect();
        assert_eq!(handed, [("memory", 2, 0), ("_2", 0, 3), ("_3", 0, 5)]);
        assert_eq!(body(0), b"\x04name!");
        for there in ["_1: function", "wasm._2(this.p", "function _3(a)", "wasm._3(a, wasm.memory, _0)", "class Made {"]
        {
            assert!(found.script.contains(there), "{there}: {}", found.script);
        }
        for gone in ["__wb", "_R1", "Unmade"] {
            assert!(!found.script.contains(gone), "{gone}: {}", found.script);
        }
    }

    #[test]
    fn what_is_made_stays() {
        let script = "export class Made {\n}\nconst it = Made.wrap(1);\nexport class Odd {\nno end";
        assert_eq!(without_unmade(script), format!("{script}\n"));
    }

    #[test]
    fn says_nothing_of_what_it_cannot_read() {
        assert_eq!(fitted(SCRIPT, b"no wasm"), None);
        let whole = file(&["__wbg_new_1a2b"], &[("main", 0)]);
        for end in 0..whole.len() {
            let _ = fitted(SCRIPT, &whole[..end]);
        }
        // A memory or a table that is asked for.
        let mut other = BEGINNING.to_vec();
        put(&mut other, 2, &[1, 1, b'm', 1, b'n', 2, 0, 1]);
        assert_eq!(fitted(SCRIPT, &other), None);
    }
}
