//! Putting the functions of a finished wasm file in an order in which like stands beside like. A compressor looks back over 32 kB only, and
//! the tools before this leave the functions in order of size: set side by side, what is alike is sent once. The program stays the same: only
//! the numbers of functions change, wherever one is named.

use crate::wasm::{BEGINNING, Reader, put, sections, write_number};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Bytes in a row by which two functions are found alike.
const RUN: usize = 5;
/// What stands in more functions than these tells nothing of likeness.
const COMMON: usize = 200;
/// As many functions before the next one are compared with it.
const LOOK_BACK: usize = 8;
/// Runs that a function must have before its share of known ones counts in full.
const FEW: f64 = 30.0;

const TYPES: u8 = 1;
const IMPORTS: u8 = 2;
const FUNCTIONS: u8 = 3;
const GLOBALS: u8 = 6;
const EXPORTS: u8 = 7;
const START: u8 = 8;
const ELEMENTS: u8 = 9;
const CODE: u8 = 10;

/// The file with its functions in another order. Nothing where it holds something that is not understood here: it is then best left as it is.
pub fn reorder(file: &[u8]) -> Option<Vec<u8>> {
    let sections: Vec<(u8, &[u8])> = sections(file)?.into_iter().map(|section| (section.kind, section.body)).collect();
    let find = |kind: u8| sections.iter().find(|section| section.0 == kind).map(|section| section.1);
    let imported = imported_functions(find(IMPORTS).unwrap_or(&[0]))?;
    let types = numbers(find(FUNCTIONS)?)?;
    let code = bodies(find(CODE)?)?;
    if types.len() != code.len() {
        return None;
    }
    let order = like_beside_like(&code);
    let mut new_number = vec![0; code.len()];
    for (place, old) in order.iter().enumerate() {
        *new_number.get_mut(*old)? = imported + place;
    }
    let renumber = |old: usize| if old < imported { Some(old) } else { new_number.get(old - imported).copied() };
    let mut out = BEGINNING.to_vec();
    for (kind, body) in &sections {
        let body = match *kind {
            FUNCTIONS => {
                let all = order.iter().map(|old| types.get(*old).copied());
                numbered(&all.collect::<Option<Vec<_>>>()?)
            }
            CODE => {
                let all = order.iter().map(|old| renumbered(code.get(*old)?, &renumber));
                coded(&all.collect::<Option<Vec<_>>>()?)
            }
            EXPORTS => exports(body, &renumber)?,
            START => {
                let mut section = Vec::new();
                write_number(renumber(Reader { bytes: body, at: 0 }.number()?)?, &mut section);
                section
            }
            ELEMENTS => elements(body, &renumber)?,
            // The first value of a global may name a function.
            GLOBALS if body.contains(&0xd2) => globals(body)?,
            _ => body.to_vec(),
        };
        put(&mut out, *kind, &body);
    }
    Some(out)
}

/// The file without types that nothing in it is of. Nothing where it holds something that is not understood here.
pub fn typed(file: &[u8]) -> Option<Vec<u8>> {
    let sections: Vec<(u8, &[u8])> = sections(file)?.into_iter().map(|section| (section.kind, section.body)).collect();
    let find = |kind: u8| sections.iter().find(|section| section.0 == kind).map_or(&[0][..], |section| section.1);
    let mut used: BTreeSet<usize> = numbers(find(FUNCTIONS))?.into_iter().collect();
    imports(find(IMPORTS), &mut |kind| {
        used.insert(kind);
        Some(kind)
    })?;
    for body in bodies(find(CODE))? {
        for (_, _, name) in named(body)? {
            match name {
                Name::Function(_) => {}
                Name::Type(kind) => _ = used.insert(kind),
                // Its number is of another form.
                Name::Block => return None,
            }
        }
    }
    let new: BTreeMap<usize, usize> = used.iter().copied().enumerate().map(|(new, old)| (old, new)).collect();
    let renumber = |old: usize| new.get(&old).copied();
    let mut out = BEGINNING.to_vec();
    for (kind, body) in &sections {
        let section = match *kind {
            TYPES => {
                let mut reader = Reader { bytes: body, at: 0 };
                let mut section = Vec::new();
                write_number(new.len(), &mut section);
                for old in 0..reader.number()? {
                    let from = reader.at;
                    // A function's: what it takes, and what it gives.
                    (reader.byte()? == 0x60).then_some(())?;
                    reader.skip_run()?;
                    reader.skip_run()?;
                    if new.contains_key(&old) {
                        section.extend(body.get(from..reader.at)?);
                    }
                }
                section
            }
            IMPORTS => imports(body, &mut |old| renumber(old))?,
            FUNCTIONS => numbered(&numbers(body)?.into_iter().map(renumber).collect::<Option<Vec<_>>>()?),
            CODE => {
                let typed = |name| match name {
                    Name::Type(old) => renumber(old).map(Some),
                    _ => Some(None),
                };
                let all = bodies(body)?.into_iter().map(|body| rewritten(body, &typed));
                coded(&all.collect::<Option<Vec<_>>>()?)
            }
            _ => body.to_vec(),
        };
        put(&mut out, *kind, &section);
    }
    Some(out)
}

/// The imports with other numbers for the types of functions.
fn imports(section: &[u8], renumber: &mut dyn FnMut(usize) -> Option<usize>) -> Option<Vec<u8>> {
    let mut reader = Reader { bytes: section, at: 0 };
    let count = reader.number()?;
    let mut out = Vec::new();
    write_number(count, &mut out);
    for _ in 0..count {
        let from = reader.at;
        reader.skip_run()?;
        reader.skip_run()?;
        match reader.byte()? {
            0 => {
                out.extend(section.get(from..reader.at)?);
                write_number(renumber(reader.number()?)?, &mut out);
                continue;
            }
            1 => {
                reader.skip(1)?;
                reader.skip_limits()?;
            }
            2 => reader.skip_limits()?,
            3 | 4 => reader.skip(2)?,
            _ => return None,
        }
        out.extend(section.get(from..reader.at)?);
    }
    Some(out)
}

fn imported_functions(section: &[u8]) -> Option<usize> {
    let mut functions = 0;
    imports(section, &mut |kind| {
        functions += 1;
        Some(kind)
    })?;
    Some(functions)
}

/// A list of numbers as it stands in the file.
fn numbered(all: &[usize]) -> Vec<u8> {
    let mut section = Vec::new();
    write_number(all.len(), &mut section);
    all.iter().for_each(|number| write_number(*number, &mut section));
    section
}

/// Bodies of functions as they stand in the file.
fn coded(all: &[Vec<u8>]) -> Vec<u8> {
    let mut section = Vec::new();
    write_number(all.len(), &mut section);
    for body in all {
        write_number(body.len(), &mut section);
        section.extend(body);
    }
    section
}

/// A list of numbers.
pub fn numbers(section: &[u8]) -> Option<Vec<usize>> {
    let mut reader = Reader { bytes: section, at: 0 };
    (0..reader.number()?).map(|_| reader.number()).collect()
}

/// The bodies of functions.
pub fn bodies(section: &[u8]) -> Option<Vec<&[u8]>> {
    let mut reader = Reader { bytes: section, at: 0 };
    let bodies = (0..reader.number()?).map(|_| {
        let length = reader.number()?;
        reader.take(length)
    });
    let bodies: Vec<&[u8]> = bodies.collect::<Option<_>>()?;
    reader.is_done().then_some(bodies)
}

/// The function's body with every function that it calls under its new number.
pub fn renumbered(body: &[u8], renumber: &impl Fn(usize) -> Option<usize>) -> Option<Vec<u8>> {
    rewritten(body, &|name| match name {
        Name::Function(old) => renumber(old).map(Some),
        _ => Some(None),
    })
}

/// The function's body with other numbers where there are to be others.
fn rewritten(body: &[u8], other: &dyn Fn(Name) -> Option<Option<usize>>) -> Option<Vec<u8>> {
    let mut out = Vec::with_capacity(body.len());
    let mut kept = 0;
    for (from, to, name) in named(body)? {
        if let Some(new) = other(name)? {
            out.extend(body.get(kept..from)?);
            write_number(new, &mut out);
            kept = to;
        }
    }
    out.extend(body.get(kept..)?);
    Some(out)
}

/// The functions that a function's body names. Nothing where an instruction is not known here.
pub fn called(body: &[u8]) -> Option<Vec<usize>> {
    let function = |(_, _, name)| if let Name::Function(number) = name { Some(number) } else { None };
    Some(named(body)?.into_iter().filter_map(function).collect())
}

/// What a body names by a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Name {
    Function(usize),
    Type(usize),
    /// A block of a type that has a number.
    Block,
}

/// Where in a function's body something is named by a number: from where to where, and what. Nothing where an instruction is not known here.
fn named(body: &[u8]) -> Option<Vec<(usize, usize, Name)>> {
    let mut reader = Reader { bytes: body, at: 0 };
    let mut found = Vec::new();
    for _ in 0..reader.number()? {
        reader.skip(1)?;
        // The type of a local: one byte for every type without an index behind it.
        if !(0x6f..=0x7f).contains(&reader.byte()?) {
            return None;
        }
    }
    while !reader.is_done() {
        match reader.byte()? {
            // call, return_call, ref.func
            0x10 | 0x12 | 0xd2 => {
                let from = reader.at;
                let function = reader.number()?;
                found.push((from, reader.at, Name::Function(function)));
            }
            // block, loop, if
            0x02..=0x04 => {
                let from = reader.at;
                if !matches!(reader.byte()?, 0x40 | 0x6f..=0x7f) {
                    reader.at = from;
                    reader.skip(1)?;
                    found.push((from, reader.at, Name::Block));
                }
            }
            // br, br_if; local, global and table access; memory.size, memory.grow; constants; ref.null
            0x0c | 0x0d | 0x20..=0x26 | 0x3f..=0x42 | 0xd0 => reader.skip(1)?,
            // br_table
            0x0e => {
                let targets = reader.number()?;
                reader.skip(targets + 1)?;
            }
            // call_indirect, return_call_indirect
            0x11 | 0x13 => {
                let from = reader.at;
                let kind = reader.number()?;
                found.push((from, reader.at, Name::Type(kind)));
                reader.skip(1)?;
            }
            // select with types
            0x1c => {
                let types = reader.number()?;
                reader.skip(types)?;
            }
            // loads and stores; a second memory is not known here
            0x28..=0x3e => {
                if reader.number()? >= 64 {
                    return None;
                }
                reader.skip(1)?;
            }
            0x43 => reader.take(4).map(|_| ())?,
            0x44 => reader.take(8).map(|_| ())?,
            0xfc => match reader.number()? {
                0..=7 => {}
                9 | 11 | 13 | 15..=17 => reader.skip(1)?,
                8 | 10 | 12 | 14 => reader.skip(2)?,
                _ => return None,
            },
            // unreachable, nop, else, end, return, drop, select; comparisons, arithmetic, conversions; ref.is_null
            0x00 | 0x01 | 0x05 | 0x0b | 0x0f | 0x1a | 0x1b | 0x45..=0xc4 | 0xd1 => {}
            _ => return None,
        }
    }
    Some(found)
}

fn exports(section: &[u8], renumber: &impl Fn(usize) -> Option<usize>) -> Option<Vec<u8>> {
    let mut reader = Reader { bytes: section, at: 0 };
    let mut out = Vec::new();
    let count = reader.number()?;
    write_number(count, &mut out);
    for _ in 0..count {
        let from = reader.at;
        reader.skip_run()?;
        let kind = reader.byte()?;
        out.extend(section.get(from..reader.at)?);
        let number = reader.number()?;
        write_number(if kind == 0 { renumber(number)? } else { number }, &mut out);
    }
    Some(out)
}

/// Globals that name no function are left as they are; ones that may are not understood here.
pub fn globals(section: &[u8]) -> Option<Vec<u8>> {
    let mut reader = Reader { bytes: section, at: 0 };
    for _ in 0..reader.number()? {
        reader.take(2)?;
        constant(&mut reader)?;
    }
    reader.is_done().then(|| section.to_vec())
}

/// Passes over a first value that names no function.
pub fn constant(reader: &mut Reader) -> Option<()> {
    match reader.byte()? {
        0x41 | 0x42 | 0x23 | 0xd0 => reader.skip(1)?,
        0x43 => reader.take(4).map(|_| ())?,
        0x44 => reader.take(8).map(|_| ())?,
        _ => return None,
    }
    (reader.byte()? == 0x0b).then_some(())
}

/// The entries of tables, of the common forms: functions by number, at a constant place.
fn elements(section: &[u8], renumber: &impl Fn(usize) -> Option<usize>) -> Option<Vec<u8>> {
    let mut reader = Reader { bytes: section, at: 0 };
    let mut out = Vec::new();
    let segments = reader.number()?;
    write_number(segments, &mut out);
    for _ in 0..segments {
        let from = reader.at;
        let form = reader.number()?;
        if form == 2 {
            reader.skip(1)?;
        }
        if form == 0 || form == 2 {
            if !matches!(reader.byte()?, 0x41 | 0x23) {
                return None;
            }
            reader.skip(1)?;
            if reader.byte()? != 0x0b {
                return None;
            }
        } else if form != 1 && form != 3 {
            return None;
        }
        // The kind of entry: functions.
        if form != 0 && reader.byte()? != 0 {
            return None;
        }
        out.extend(section.get(from..reader.at)?);
        let count = reader.number()?;
        write_number(count, &mut out);
        for _ in 0..count {
            write_number(renumber(reader.number()?)?, &mut out);
        }
    }
    reader.is_done().then_some(out)
}

/// The largest function first, then always the one that shares most with the last few.
fn like_beside_like(code: &[&[u8]]) -> Vec<usize> {
    // Runs of bytes by number, and for every function those that it shares with a few others.
    let mut numbers: HashMap<&[u8], usize> = HashMap::new();
    let runs: Vec<Vec<usize>> = code.iter().map(|body| runs_of(body, &mut numbers)).collect();
    let mut holders: Vec<Vec<usize>> = vec![Vec::new(); numbers.len()];
    for (function, runs) in runs.iter().enumerate() {
        for run in runs {
            holders[*run].push(function);
        }
    }
    let shared: Vec<Vec<usize>> = runs
        .iter()
        .map(|runs| runs.iter().copied().filter(|run| (2..COMMON).contains(&holders[*run].len())).collect())
        .collect();
    let weight: Vec<f64> = holders.iter().map(|holders| (holders.len().max(1) as f64).sqrt().recip()).collect();
    let largest = |left: &[bool]| {
        let open = (0..code.len()).filter(|function| left[*function]);
        open.max_by_key(|function| (code[*function].len(), usize::MAX - function))
    };
    let mut left = vec![true; code.len()];
    let mut order: Vec<usize> = Vec::with_capacity(code.len());
    let mut next = largest(&left);
    while let Some(function) = next {
        left[function] = false;
        order.push(function);
        for run in &shared[function] {
            holders[*run].retain(|holder| *holder != function);
        }
        let mut likeness: BTreeMap<usize, f64> = BTreeMap::new();
        for (back, recent) in order.iter().rev().take(LOOK_BACK).enumerate() {
            for run in &shared[*recent] {
                for holder in &holders[*run] {
                    *likeness.entry(*holder).or_default() += weight[*run] / (1 + back) as f64;
                }
            }
        }
        let share = |(function, sum): (&usize, &f64)| (*function, sum / (shared[*function].len() as f64 + FEW));
        let best = likeness.iter().map(share).max_by(|one, other| one.1.total_cmp(&other.1).then(other.0.cmp(&one.0)));
        next = best.map(|best| best.0).or_else(|| largest(&left));
    }
    order
}

/// The numbers of the different runs of bytes in a function.
fn runs_of<'a>(body: &'a [u8], numbers: &mut HashMap<&'a [u8], usize>) -> Vec<usize> {
    let mut found: Vec<usize> = body
        .windows(RUN)
        .map(|run| {
            let fresh = numbers.len();
            *numbers.entry(run).or_insert(fresh)
        })
        .collect();
    found.sort_unstable();
    found.dedup();
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn section(kind: u8, body: &[u8]) -> Vec<u8> {
        let mut section = vec![kind];
        write_number(body.len(), &mut section);
        section.extend(body);
        section
    }

    /// Two imported functions and three own ones, which call each other: own ones stand in the file from small to large.
    fn file(code: &[&[u8]]) -> Vec<u8> {
        let imports = [&[3][..], b"\x01m\x01a\x00\x00", b"\x01m\x01t\x01\x70\x00\x01", b"\x01m\x01b\x00\x00"].concat();
        let mut bodies = vec![code.len() as u8];
        for body in code {
            bodies.push(body.len() as u8);
            bodies.extend(*body);
        }
        [
            b"\0asm\x01\0\0\0".to_vec(),
            section(1, &[1, 0x60, 0, 0]),
            section(IMPORTS, &imports),
            section(FUNCTIONS, &[3, 0, 1, 2]),
            section(GLOBALS, b"\x01\x7f\x01\x41\x80\x80\xc0\x00\x0b"),
            section(EXPORTS, b"\x02\x01f\x00\x02\x01t\x01\x00"),
            section(START, &[3]),
            section(ELEMENTS, &[1, 0, 0x41, 1, 0x0b, 3, 4, 0, 2]),
            section(CODE, &bodies),
        ]
        .concat()
    }

    const SMALL: &[u8] = &[0, 0x10, 0, 0x0b];
    const MIDDLE: &[u8] = &[0, 0x10, 4, 0x10, 1, 0x0b];
    /// A local, a block, a branch, constants that look like calls, a store, a copy.
    const LARGE: &[u8] = &[
        1, 2, 0x7f, 0x02, 0x40, 0x0c, 0, 0x0b, 0x41, 0x10, 0x1a, 0x44, 0x10, 2, 3, 4, 0x10, 2, 3, 4, 0x1a, 0x41, 0,
        0x41, 0, 0x36, 2, 0x10, 0x41, 0, 0x41, 0, 0x41, 0, 0xfc, 10, 0, 0, 0x10, 2, 0xd2, 3, 0x1a, 0x0b,
    ];

    #[test]
    fn names_every_function_by_its_new_number() {
        let out = reorder(&file(&[SMALL, MIDDLE, LARGE])).expect("understood");
        // Own functions 2, 3, 4 come to stand as 4, 3, 2: the largest first.
        let mut large = LARGE.to_vec();
        let ends = large.len();
        large[ends - 5] = 4;
        let expected = file(&[&large, &[0, 0x10, 2, 0x10, 1, 0x0b], SMALL]);
        let expected = replace(expected, &section(FUNCTIONS, &[3, 0, 1, 2]), &section(FUNCTIONS, &[3, 2, 1, 0]));
        let expected = replace(
            expected,
            &section(EXPORTS, b"\x02\x01f\x00\x02\x01t\x01\x00"),
            &section(EXPORTS, b"\x02\x01f\x00\x04\x01t\x01\x00"),
        );
        let expected = replace(
            expected,
            &section(ELEMENTS, &[1, 0, 0x41, 1, 0x0b, 3, 4, 0, 2]),
            &section(ELEMENTS, &[1, 0, 0x41, 1, 0x0b, 3, 2, 0, 4]),
        );
        assert_eq!(out, expected);
    }

    fn replace(file: Vec<u8>, old: &[u8], new: &[u8]) -> Vec<u8> {
        let at = file.windows(old.len()).position(|window| window == old).expect("there");
        [&file[..at], new, &file[at + old.len()..]].concat()
    }

    #[test]
    fn puts_like_beside_like_in_any_run_alike() {
        let one: Vec<u8> = (0..90).collect();
        let other: Vec<u8> = (100..180).collect();
        let (like_one, like_other) = ([&one[..80], &[1]].concat(), [&other[..70], &[2]].concat());
        let code: [&[u8]; 5] = [&like_other, &one, &[7], &like_one, &other];
        assert_eq!(like_beside_like(&code), [1, 3, 4, 0, 2]);
    }

    #[test]
    fn keeps_the_types_that_something_is_of() {
        // Of five types the imports are of the second, the functions of the third, and one of them calls a fifth by its place.
        let types = |all: &[[u8; 4]]| section(TYPES, &[&[all.len() as u8][..], &all.concat()].concat());
        let all = [[0x60, 1, 0x7f, 0], [0x60, 1, 0x7e, 0], [0x60, 1, 0x7d, 0], [0x60, 1, 0x7c, 0], [0x60, 0, 1, 0x7f]];
        let make = |types: Vec<u8>, import: u8, function: u8, called: u8| {
            let body = [0, 0x02, 0x40, 0x41, 0, 0x11, called, 0, 0x0b, 0x0b];
            [
                BEGINNING.to_vec(),
                types,
                section(IMPORTS, &[&[2][..], b"\x01m\x01a\x00", &[import], b"\x01m\x01t\x01\x70\x00\x01"].concat()),
                section(FUNCTIONS, &[1, function]),
                section(CODE, &[&[1, body.len() as u8][..], &body].concat()),
            ]
            .concat()
        };
        let typed_file = typed(&make(types(&all), 1, 2, 4));
        assert_eq!(typed_file, Some(make(types(&[all[1], all[2], all[4]]), 0, 1, 2)));
        assert_eq!(typed(typed_file.as_deref().unwrap()), typed_file);
        // A block of a type with a number.
        let block = make(types(&all), 1, 2, 4).iter().map(|b| if *b == 0x40 { 3 } else { *b }).collect::<Vec<u8>>();
        assert_eq!(typed(&block), None);
        let whole = make(types(&all), 1, 2, 4);
        for end in 0..whole.len() {
            let _ = typed(&whole[..end]);
        }
    }

    #[test]
    fn leaves_what_it_does_not_understand() {
        for strange in
            [&[0, 0xfd, 0, 0x0b][..], &[0, 0x06, 0x40, 0x0b], &[0, 0x10], &[0, 0x10, 9, 0x0b], &[1, 1, 0x64, 0, 0x0b]]
        {
            assert_eq!(reorder(&file(&[SMALL, MIDDLE, strange])), None, "{strange:?}");
        }
        let whole = file(&[SMALL, MIDDLE, LARGE]);
        for end in 0..whole.len() {
            assert_eq!(reorder(&whole[..end]), None, "cut at {end}");
        }
    }

    #[test]
    fn a_second_time_changes_nothing_but_the_order() {
        let once = reorder(&file(&[SMALL, MIDDLE, LARGE])).expect("understood");
        assert_eq!(reorder(&once), Some(once));
    }
}
