//! What the linker knows of the program that it put together: which function refers to which others and to which data. It says so only when
//! asked to keep its relocations, and the tools after it lose them.

use crate::wasm::{Reader, sections};
use std::collections::{BTreeSet, HashMap};

/// What a function or a piece of data refers to, without what a function calls: that the finished program shows itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum To<'a> {
    /// The address of a function, by its name.
    Function(&'a str),
    /// A piece of data, by its place in [`Linked::data`].
    Data(usize),
}

/// A piece of data.
#[derive(Debug)]
pub struct Data<'a> {
    /// Its name.
    pub name: &'a str,
    /// Where it stands in memory.
    pub address: usize,
    /// How long it is.
    pub length: usize,
    /// Does it never change?
    pub constant: bool,
    /// What it refers to.
    pub to: BTreeSet<To<'a>>,
}

/// The linked program.
#[derive(Debug)]
pub struct Linked<'a> {
    /// All pieces of data, in order of address.
    pub data: Vec<Data<'a>>,
    /// What every function refers to, by its name.
    pub functions: HashMap<&'a str, BTreeSet<To<'a>>>,
}

const CODE: u8 = 10;
const DATA: u8 = 11;
/// What data that never changes stands in.
const CONSTANT: &str = ".rodata";

/// A line of the linker's list of symbols.
enum Symbol<'a> {
    Function(usize),
    Data { name: &'a str, segment: usize, offset: usize, length: usize },
    Other,
}

/// Reads it; nothing where it does not hold what is needed.
pub fn read(file: &[u8]) -> Option<Linked<'_>> {
    let mut code = None;
    let mut segments = None;
    let mut custom: HashMap<&str, &[u8]> = HashMap::new();
    for section in sections(file)? {
        match section.kind {
            0 => {
                let mut reader = Reader { bytes: section.body, at: 0 };
                let name = reader.name()?;
                custom.insert(name, reader.bytes.get(reader.at..)?);
            }
            CODE => code = Some(bodies(section.body)?),
            DATA => segments = Some(segments_of(section.body)?),
            _ => {}
        }
    }
    let (code, segments) = (code?, segments?);
    let (symbols, constant) = linking(custom.get("linking")?)?;
    let names = names(custom.get("name")?)?;
    // Imported functions have the first numbers, and all functions have names.
    let imported = names.len().checked_sub(code.len())?;

    let mut place = vec![usize::MAX; symbols.len()];
    let mut order: Vec<(usize, usize, usize)> = Vec::new();
    for (at, symbol) in symbols.iter().enumerate() {
        if let Symbol::Data { segment, offset, length, .. } = symbol {
            order.push((segments.get(*segment)?.address + offset, *length, at));
        }
    }
    order.sort_unstable();
    let mut data = Vec::new();
    for (address, length, at) in order {
        let Symbol::Data { name, segment, .. } = &symbols[at] else { continue };
        place[at] = data.len();
        let constant = constant.get(*segment).copied().unwrap_or(false);
        data.push(Data { name, address, length, constant, to: BTreeSet::new() });
    }
    let target = |relocation: &Relocation| -> Option<Option<To>> {
        Some(match (relocation.kind, symbols.get(relocation.symbol)?) {
            (1 | 2 | 12, Symbol::Function(number)) => Some(To::Function(names.get(*number)?)),
            (3 | 4 | 5 | 11, Symbol::Data { .. }) => Some(To::Data(place[relocation.symbol])),
            _ => None,
        })
    };

    let mut functions: HashMap<&str, BTreeSet<To>> = HashMap::new();
    for relocation in relocations(custom.get("reloc.CODE")?)? {
        let number = code.partition_point(|(_, end)| *end <= relocation.at);
        if let Some(to) = target(&relocation)? {
            functions.entry(names.get(imported + number)?).or_default().insert(to);
        }
    }
    let longest = data.iter().map(|piece| piece.length).max().unwrap_or(0);
    for relocation in relocations(custom.get("reloc.DATA")?)? {
        let Some(to) = target(&relocation)? else { continue };
        let segment = segments.iter().find(|segment| (segment.from..segment.to).contains(&relocation.at))?;
        let address = segment.address + relocation.at - segment.from;
        let mut found = false;
        let end = data.partition_point(|piece| piece.address <= address);
        // Pieces may lie over one another.
        for piece in data.get_mut(..end)?.iter_mut().rev() {
            if piece.address + longest <= address {
                break;
            }
            if piece.address + piece.length > address {
                piece.to.insert(to);
                found = true;
            }
        }
        found.then_some(())?;
    }
    Some(Linked { data, functions })
}

/// From where to where every function's body goes in its section.
fn bodies(section: &[u8]) -> Option<Vec<(usize, usize)>> {
    let mut reader = Reader { bytes: section, at: 0 };
    let count = reader.number()?;
    let bodies = (0..count).map(|_| {
        let from = reader.at;
        reader.skip_run()?;
        Some((from, reader.at))
    });
    bodies.collect()
}

/// Data that is put into memory at the start.
struct Segment {
    address: usize,
    /// From where to where it goes in its section.
    from: usize,
    to: usize,
}

fn segments_of(section: &[u8]) -> Option<Vec<Segment>> {
    let mut reader = Reader { bytes: section, at: 0 };
    let count = reader.number()?;
    let segments = (0..count).map(|_| {
        let (address, bytes) = reader.segment()?;
        Some(Segment { address, from: reader.at - bytes.len(), to: reader.at })
    });
    segments.collect()
}

/// The symbols, and of every segment whether it never changes.
fn linking(section: &[u8]) -> Option<(Vec<Symbol<'_>>, Vec<bool>)> {
    let mut reader = Reader { bytes: section, at: 0 };
    let version = reader.number()?;
    let (mut symbols, mut constant) = (Vec::new(), Vec::new());
    while version == 2 && !reader.is_done() {
        let (kind, mut inside) = reader.inside()?;
        match kind {
            5 => {
                for _ in 0..inside.number()? {
                    constant.push(inside.name()?.starts_with(CONSTANT));
                    inside.skip(2)?;
                }
            }
            8 => {
                for _ in 0..inside.number()? {
                    symbols.push(symbol(&mut inside)?);
                }
            }
            _ => {}
        }
    }
    Some((symbols, constant))
}

fn symbol<'a>(reader: &mut Reader<'a>) -> Option<Symbol<'a>> {
    const UNDEFINED: usize = 0x10;
    const NAMED: usize = 0x40;
    let kind = reader.byte()?;
    let flags = reader.number()?;
    Some(match kind {
        1 => {
            let name = reader.name()?;
            if flags & UNDEFINED != 0 {
                return Some(Symbol::Other);
            }
            Symbol::Data { name, segment: reader.number()?, offset: reader.number()?, length: reader.number()? }
        }
        3 => {
            reader.number()?;
            Symbol::Other
        }
        0 | 2 | 4 | 5 => {
            let number = reader.number()?;
            if flags & UNDEFINED == 0 || flags & NAMED != 0 {
                reader.skip_run()?;
            }
            if kind == 0 { Symbol::Function(number) } else { Symbol::Other }
        }
        _ => return None,
    })
}

/// A place that the linker filled in.
struct Relocation {
    kind: u8,
    at: usize,
    symbol: usize,
}

fn relocations(section: &[u8]) -> Option<Vec<Relocation>> {
    let mut reader = Reader { bytes: section, at: 0 };
    reader.number()?;
    let count = reader.number()?;
    let relocations = (0..count).map(|_| {
        let relocation = Relocation { kind: reader.byte()?, at: reader.number()?, symbol: reader.number()? };
        match relocation.kind {
            0..=2 | 6 | 7 | 10 | 12 | 13 | 20 => {}
            3..=5 | 8 | 9 | 11 => reader.skip(1)?,
            _ => return None,
        }
        Some(relocation)
    });
    relocations.collect()
}

/// The names of functions, from the section of names; they must be without gaps.
pub fn names(section: &[u8]) -> Option<Vec<&str>> {
    let mut reader = Reader { bytes: section, at: 0 };
    let mut names = Vec::new();
    while !reader.is_done() {
        let (kind, mut inside) = reader.inside()?;
        if kind != 1 {
            continue;
        }
        for _ in 0..inside.number()? {
            let number = inside.number()?;
            if number >= names.len() {
                names.resize(number + 1, "");
            }
            names[number] = inside.name()?;
        }
    }
    Some(names)
}
