//! Splitting the finished wasm into parts: the first, with which everything starts; the app, without which there is no screen; the sums of
//! every calculator, and those that several share; the pages of calculators; and the rest. The program is the same: memory, addresses and the
//! table of functions are one, and every part puts its own functions and constants where the program expects them.
//!
//! A part is entered through doors alone: functions whose address stands in one of a few tables of the program. What can be reached from the
//! start without going through a door is the first part. So nothing can be called too soon but through a door, and in front of those
//! `src/app/doors.rs` waits.

use crate::linked::{self, Linked, To};
use crate::order;
use crate::wasm::{self, BEGINNING, Export, Reader, list, number, put, sections, text};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// In the name of a table of doors to calculators, and of the function behind one. The calculator's own name follows.
const CALCULATOR: &str = "5sheet5entry";
/// The end of the name of the table of the door to the app.
const APP: &str = "3app5doors3APP";
/// The end of the name of the table of doors to what comes with any calculator's page.
const SHEETS: &str = "3app5doors6SHEETS";
/// The ends of the names of the tables of doors to the rest.
const REST: [&str; 2] = ["3app5doors5DOORS", "7session5saved6OTHERS"];

/// The first part's name.
const FIRST: &str = "bg";
/// The name of the app.
pub const SCREENS: &str = "app";
/// The name of what the sums of several calculators share.
pub const SHARED: &str = "shared";
/// The names of what those of each family alone share.
const FAMILIES: [&str; 2] = ["shared1", "shared2"];
/// The name of the pages of calculators.
pub const PAGES: &str = "sheets";
/// The name of the rest.
const OTHER: &str = "rest";

/// What all parts call the part that they take from.
const ROOM: &str = "m";
/// Constants that stand so near to each other are put into memory together with what is between them, which is the same in any case.
const NEAR: usize = 8;

/// A part of the program.
#[derive(Debug)]
pub struct Part {
    /// Its name.
    pub name: String,
    /// The name of another that is needed whenever this one is, and must be there first.
    pub with: Option<&'static str>,
    /// A wasm file.
    pub file: Vec<u8>,
}

/// Splits a program: `linked` as the linker made it, with relocations, and `finished` as it would be sent, with names.
pub fn split(linked: &[u8], finished: &[u8]) -> Result<Vec<Part>, String> {
    let linked = linked::read(linked).ok_or("the linked wasm does not say what refers to what")?;
    let program = Program::read(finished).ok_or("the finished wasm holds something that is not understood here")?;
    let plan = Plan::new(&linked, &program)?;
    let room = plan.room(&program);
    (0..plan.names.len())
        .map(|part| {
            let file = if part == 0 { plan.first(&program, &room) } else { plan.part(part, &program, &room) };
            let file = file.ok_or(format!("the part {} cannot be written", plan.names[part]))?;
            let file = order::typed(&file).unwrap_or(file);
            let (name, with) = (plan.names[part].clone(), plan.parts.family(part).map(|family| FAMILIES[family]));
            Ok(Part { name, with, file: order::reorder(&file).unwrap_or(file) })
        })
        .collect()
}

const FUNCTION: u8 = 0;
const TABLE: u8 = 1;
const MEMORY: u8 = 2;
const GLOBAL: u8 = 3;

/// The finished program.
struct Program<'a> {
    types: &'a [u8],
    /// Every import as it stands, and the types of those that are functions.
    imports: Vec<&'a [u8]>,
    imported: Vec<usize>,
    /// The types of its own functions, and their bodies.
    kinds: Vec<usize>,
    bodies: Vec<&'a [u8]>,
    /// What every function calls.
    calls: Vec<Vec<usize>>,
    tables: &'a [u8],
    memory: &'a [u8],
    globals: &'a [u8],
    exports: Vec<Export<'a>>,
    /// Which function has which place in the first table, from which place on.
    slots: (usize, Vec<usize>),
    data: Vec<(usize, &'a [u8])>,
    names: Vec<&'a str>,
}

impl<'a> Program<'a> {
    fn read(file: &'a [u8]) -> Option<Self> {
        let mut found: HashMap<u8, &[u8]> = HashMap::new();
        let mut names = Vec::new();
        for section in sections(file)? {
            match section.kind {
                0 => {
                    let mut reader = Reader { bytes: section.body, at: 0 };
                    if reader.name()? == "name" {
                        names = linked::names(reader.bytes.get(reader.at..)?)?;
                    }
                }
                1..=7 | 9..=11 => {
                    found.insert(section.kind, section.body);
                }
                _ => return None,
            }
        }
        let at = |kind: u8| found.get(&kind).copied();
        let reader = |kind: u8| Reader { bytes: at(kind).unwrap_or(&[0]), at: 0 };

        // Anything but functions would have to be handed on.
        let imports = wasm::imports(at(2).unwrap_or(&[0]))?;
        let kinds = order::numbers(at(3)?)?;
        let bodies = order::bodies(at(10)?)?;
        let calls = bodies.iter().map(|body| order::called(body));
        let exports = wasm::exports(at(7).unwrap_or(&[0]))?;
        let mut section = reader(9);
        // One run of functions in the first table.
        if section.number()? != 1 || section.number()? != 0 || section.byte()? != 0x41 {
            return None;
        }
        let first = section.number()?;
        if section.byte()? != 0x0b {
            return None;
        }
        let functions = (0..section.number()?).map(|_| section.number()).collect::<Option<_>>()?;
        let mut section = reader(11);
        let data = (0..section.number()?).map(|_| section.segment()).collect::<Option<_>>()?;
        let program = Program {
            types: at(1)?,
            calls: calls.collect::<Option<_>>()?,
            imported: imports.iter().map(|import| import.kind).collect(),
            imports: imports.iter().map(|import| import.whole).collect(),
            kinds,
            bodies,
            tables: at(4)?,
            memory: at(5)?,
            globals: at(6)?,
            exports,
            slots: (first, functions),
            data,
            names,
        };
        order::globals(program.globals)?;
        (program.kinds.len() == program.bodies.len()).then_some(program)
    }

    fn functions(&self) -> usize {
        self.imported.len() + self.bodies.len()
    }

    fn name(&self, function: usize) -> &'a str {
        self.names.get(function).copied().unwrap_or("")
    }

    fn kind(&self, function: usize) -> Option<usize> {
        match function.checked_sub(self.imported.len()) {
            None => self.imported.get(function).copied(),
            Some(own) => self.kinds.get(own).copied(),
        }
    }
}

/// The parts by their numbers: the first, the app, what the sums of calculators share, what those of each of two families do, those of each
/// calculator, the pages of calculators, the rest.
struct Parts {
    /// The family of every calculator.
    families: Vec<usize>,
}

impl Parts {
    const APP: usize = 1;
    const SHARED: usize = 2;
    const FAMILIES: [usize; 2] = [3, 4];
    /// The first calculator's.
    const OWN: usize = 5;

    fn pages(&self) -> usize {
        Self::OWN + self.families.len()
    }

    fn rest(&self) -> usize {
        self.pages() + 1
    }

    /// The family of a calculator's part.
    fn family(&self, part: usize) -> Option<usize> {
        self.families.get(part.checked_sub(Self::OWN)?).copied()
    }

    /// Is one part there whenever another is? The sums of a calculator come with what they share; its page comes with the app and with all of
    /// its sums; the rest is opened when all others are there.
    fn there(&self, part: usize, other: usize) -> bool {
        let family = self.family(part);
        match other {
            0 => true,
            _ if part == self.rest() => true,
            Self::APP => part == self.pages(),
            Self::SHARED => part == self.pages() || family.is_some() || Self::FAMILIES.contains(&part),
            _ => family.is_some_and(|family| Self::FAMILIES[family] == other),
        }
    }

    /// Where that goes which can be reached from the doors of these parts: into the one of them that is there whenever it is wanted, or into a
    /// part that is there with any of them.
    fn place(&self, from: &BTreeSet<usize>) -> usize {
        let own: Vec<(usize, usize)> = from.iter().filter_map(|part| Some((*part, self.family(*part)?))).collect();
        let pages = from.contains(&self.pages());
        match (from.contains(&Self::APP), own.as_slice()) {
            (true, []) => Self::APP,
            // Of the app and of the sums of a calculator, neither is there whenever the other is.
            (true, _) => 0,
            (_, []) if pages => self.pages(),
            (_, []) => self.rest(),
            // The page may be that of another calculator.
            _ if pages => Self::SHARED,
            (_, [(one, _)]) => *one,
            (_, [(_, family), others @ ..]) if others.iter().all(|(_, other)| other == family) => {
                Self::FAMILIES[*family]
            }
            _ => Self::SHARED,
        }
    }

    /// Divides calculators into two families that have little to do with each other. `shared` says how many bytes are reached from the doors of
    /// which parts. Begun with every calculator in turn as one of the families, whoever gains most by it changes sides until nobody gains.
    fn divided(calculators: usize, shared: &[(BTreeSet<usize>, usize)]) -> Parts {
        let cost = |parts: &Parts| -> usize {
            let in_family = |family: usize| parts.families.iter().filter(|own| **own == family).count();
            let times = |from: &BTreeSet<usize>| match parts.place(from) {
                Self::SHARED => calculators,
                place => Self::FAMILIES.iter().position(|family| *family == place).map_or(0, in_family),
            };
            shared.iter().map(|(from, bytes)| times(from) * bytes).sum()
        };
        let climbed = (0..calculators).map(|alone| {
            let mut best = Parts { families: (0..calculators).map(|own| usize::from(own != alone)).collect() };
            let mut least = cost(&best);
            loop {
                let moved = (0..calculators).map(|own| {
                    let mut families = best.families.clone();
                    families[own] = 1 - families[own];
                    let parts = Parts { families };
                    (cost(&parts), parts)
                });
                match moved.min_by_key(|(cost, _)| *cost) {
                    Some((cost, parts)) if cost < least => (least, best) = (cost, parts),
                    _ => return (least, best),
                }
            }
        });
        climbed.min_by_key(|(cost, _)| *cost).map_or(Parts { families: Vec::new() }, |(_, parts)| parts)
    }
}

/// What belongs to which part.
struct Plan {
    names: Vec<String>,
    parts: Parts,
    /// The part of every function; [`NOBODY`] for what nothing refers to.
    functions: Vec<usize>,
    /// The part of every byte of the data, segment by segment; [`NOBODY`] for what nothing refers to.
    bytes: Vec<Vec<usize>>,
}

/// No part.
const NOBODY: usize = usize::MAX;

/// Something that refers to something: a function of the finished program, or a piece of data.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
enum Node {
    Function(usize),
    Data(usize),
}

/// What refers to what.
struct Graph<'a> {
    linked: &'a Linked<'a>,
    program: &'a Program<'a>,
    numbers: HashMap<&'a str, usize>,
    /// The doors.
    doors: BTreeSet<usize>,
    /// The data in which doors stand.
    tables: BTreeSet<usize>,
}

impl Graph<'_> {
    fn node(&self, to: &To) -> Option<Node> {
        match to {
            // What the finished program has no more is not called.
            To::Function(name) => self.numbers.get(name).copied().map(Node::Function),
            To::Data(piece) => Some(Node::Data(*piece)),
        }
    }

    /// All that can be reached without going through a door, and is not in `before`.
    fn reach(&self, from: Vec<Node>, before: &BTreeSet<Node>) -> BTreeSet<Node> {
        let mut seen = BTreeSet::new();
        let mut open = from;
        while let Some(node) = open.pop() {
            if before.contains(&node) || !seen.insert(node) {
                continue;
            }
            match node {
                Node::Function(number) => {
                    if let Some(own) = number.checked_sub(self.program.imported.len()) {
                        open.extend(self.program.calls[own].iter().map(|called| Node::Function(*called)));
                    }
                    let to = self.linked.functions.get(self.program.name(number));
                    open.extend(to.into_iter().flatten().filter_map(|to| self.node(to)));
                }
                Node::Data(piece) => {
                    let is_door = |node: &Node| matches!(node, Node::Function(f) if self.doors.contains(f));
                    let to = self.linked.data[piece].to.iter().filter_map(|to| self.node(to));
                    open.extend(to.filter(|node| !(self.tables.contains(&piece) && is_door(node))));
                }
            }
        }
        seen
    }
}

impl Plan {
    fn new(linked: &Linked, program: &Program) -> Result<Plan, String> {
        let named = (0..program.functions()).filter(|function| !program.name(*function).is_empty());
        let numbers: HashMap<&str, usize> = named.map(|function| (program.name(function), function)).collect();
        let mut graph = Graph { linked, program, numbers, doors: BTreeSet::new(), tables: BTreeSet::new() };
        let mut calculators: BTreeMap<String, usize> = BTreeMap::new();
        let (mut app, mut common, mut rest) = (Vec::new(), Vec::new(), Vec::new());
        for (at, piece) in linked.data.iter().enumerate() {
            for to in &piece.to {
                let (To::Function(name), Some(Node::Function(number))) = (to, graph.node(to)) else { continue };
                if REST.iter().any(|end| piece.name.ends_with(end)) {
                    rest.push(number);
                } else if piece.name.ends_with(APP) {
                    app.push(number);
                } else if piece.name.ends_with(SHEETS) {
                    common.push(number);
                } else if let Some(calculator) = calculator(name) {
                    calculators.insert(calculator.to_owned(), number);
                } else {
                    continue;
                }
                graph.tables.insert(at);
            }
        }
        if calculators.is_empty() || app.is_empty() || rest.is_empty() {
            return Err(format!(
                "there are doors to {} calculators, {} to the app and {} to the rest",
                calculators.len(),
                app.len(),
                rest.len()
            ));
        }
        graph.doors.extend(calculators.values().chain(&app).chain(&common).chain(&rest).copied());
        let mut names = vec![FIRST.to_owned(), SCREENS.to_owned(), SHARED.to_owned()];
        names.extend(FAMILIES.map(str::to_owned));
        names.extend(calculators.keys().cloned());
        let mut parts = Parts { families: vec![0; calculators.len()] };
        names.extend([PAGES.to_owned(), OTHER.to_owned()]);
        let of_calculators = (Parts::OWN..).zip(calculators.into_values().map(|door| vec![door]));
        let groups = of_calculators.chain([(Parts::APP, app), (parts.pages(), common), (parts.rest(), rest)]);

        // The start: what the page calls, and what the tools after the linker have added.
        let exported = program.exports.iter().filter(|export| export.kind == FUNCTION).map(|export| export.number);
        let addressed: BTreeSet<Node> = {
            let all = linked.functions.values().chain(linked.data.iter().map(|piece| &piece.to)).flatten();
            all.filter_map(|to| graph.node(to)).collect()
        };
        let added = program.slots.1.iter().copied().filter(|slot| !addressed.contains(&Node::Function(*slot)));
        let start = exported.chain(added).chain(0..program.imported.len()).map(Node::Function).collect();
        let first = graph.reach(start, &BTreeSet::new());
        let mut reached: HashMap<Node, BTreeSet<usize>> = HashMap::new();
        for (own, doors) in groups {
            for node in graph.reach(doors.into_iter().map(Node::Function).collect(), &first) {
                reached.entry(node).or_default().insert(own);
            }
        }
        // Functions that nothing refers to any more only stand in the table: they are left out.
        let wanted = |node: &Node| first.contains(node) || reached.contains_key(node);
        let left: BTreeSet<usize> = (0..program.functions()).filter(|own| !wanted(&Node::Function(*own))).collect();
        let mut shared: BTreeMap<BTreeSet<usize>, usize> = BTreeMap::new();
        for (node, from) in &reached {
            let bytes = match node {
                Node::Function(own) => {
                    own.checked_sub(program.imported.len()).map_or(0, |own| program.bodies[own].len())
                }
                Node::Data(piece) => linked.data[*piece].length,
            };
            *shared.entry(from.clone()).or_default() += bytes;
        }
        parts = Parts::divided(parts.families.len(), &shared.into_iter().collect::<Vec<_>>());
        let part: HashMap<Node, usize> = reached.into_iter().map(|(node, from)| (node, parts.place(&from))).collect();
        let of = |node: Node| part.get(&node).copied().unwrap_or(0);
        let place = |own: usize| if left.contains(&own) { NOBODY } else { of(Node::Function(own)) };
        let functions = (0..program.functions()).map(place).collect();
        let mut bytes: Vec<Vec<usize>> = program.data.iter().map(|(_, bytes)| vec![NOBODY; bytes.len()]).collect();
        for (at, piece) in linked.data.iter().enumerate() {
            let own = if piece.constant { of(Node::Data(at)) } else { 0 };
            for address in piece.address..piece.address + piece.length {
                let inside = |(segment, _): &(&mut Vec<usize>, usize)| !segment.is_empty();
                let starts = program.data.iter().map(|(start, _)| *start);
                let mut all = bytes.iter_mut().zip(starts).filter(inside);
                let holds =
                    |(segment, start): &(&mut Vec<usize>, usize)| (*start..start + segment.len()).contains(&address);
                if let Some((segment, start)) = all.find(holds) {
                    let byte = &mut segment[address - start];
                    *byte = if *byte == NOBODY || *byte == own { own } else { 0 };
                }
            }
        }
        Ok(Plan { names, parts, functions, bytes })
    }

    /// What the first part and those before them hand to the parts: functions under short names.
    fn room(&self, program: &Program) -> BTreeMap<usize, String> {
        let mut taken = BTreeSet::new();
        for (own, calls) in program.calls.iter().enumerate() {
            let part = self.functions[program.imported.len() + own];
            taken.extend(calls.iter().copied().filter(|called| self.functions[*called] != part));
        }
        taken.into_iter().enumerate().map(|(at, function)| (function, short(at))).collect()
    }

    /// The functions of a part, in their order.
    fn own(&self, part: usize, program: &Program) -> Vec<usize> {
        (program.imported.len()..program.functions()).filter(|function| self.functions[*function] == part).collect()
    }

    /// The first part: the program without what other parts hold.
    fn first(&self, program: &Program, room: &BTreeMap<usize, String>) -> Option<Vec<u8>> {
        let own = self.own(0, program);
        let mut numbers = vec![NOBODY; program.functions()];
        let all = (0..program.imported.len()).chain(own.iter().copied());
        all.enumerate().for_each(|(number, function)| numbers[function] = number);
        let mut exports: Vec<(String, u8, usize)> =
            program.exports.iter().map(|export| (export.name.to_owned(), export.kind, export.number)).collect();
        let given = room.iter().filter(|(function, _)| self.functions[**function] == 0);
        exports.extend(given.map(|(function, name)| (name.clone(), FUNCTION, *function)));
        let counts = [(TABLE, program.tables), (MEMORY, program.memory), (GLOBAL, program.globals)];
        for (kind, section) in counts {
            let count = Reader { bytes: section, at: 0 }.number()?;
            exports.extend((0..count).map(|number| (handed(kind, number), kind, number)));
        }
        let mut out = BEGINNING.to_vec();
        put(&mut out, 1, program.types);
        put(&mut out, 2, &list(program.imports.iter().map(|import| import.to_vec())));
        put(
            &mut out,
            3,
            &list(own.iter().map(|function| program.kind(*function).map(number)).collect::<Option<Vec<_>>>()?),
        );
        put(&mut out, 4, program.tables);
        put(&mut out, 5, program.memory);
        put(&mut out, 6, program.globals);
        put(&mut out, 7, &self.exports(&exports, &numbers)?);
        self.finish(0, program, &own, &numbers, out)
    }

    /// Another part: it takes memory, tables and what it calls from those that are there.
    fn part(&self, part: usize, program: &Program, room: &BTreeMap<usize, String>) -> Option<Vec<u8>> {
        let own = self.own(part, program);
        let calls = own.iter().flat_map(|function| &program.calls[function - program.imported.len()]);
        let taken: BTreeSet<usize> = calls.copied().filter(|called| self.functions[*called] != part).collect();
        let mut numbers = vec![NOBODY; program.functions()];
        let all = taken.iter().chain(&own);
        all.enumerate().for_each(|(number, function)| numbers[*function] = number);
        let mut imports = Vec::new();
        for function in &taken {
            let from = self.functions[*function];
            self.parts.there(part, from).then_some(())?;
            imports.push(import(room.get(function)?, FUNCTION, &number(program.kind(*function)?)));
        }
        let mut tables = Reader { bytes: program.tables, at: 0 };
        for table in 0..tables.number()? {
            let from = tables.at;
            tables.byte()?;
            tables.skip_limits()?;
            imports.push(import(&handed(TABLE, table), TABLE, tables.bytes.get(from..tables.at)?));
        }
        let mut memory = Reader { bytes: program.memory, at: 0 };
        for one in 0..memory.number()? {
            let from = memory.at;
            memory.skip_limits()?;
            imports.push(import(&handed(MEMORY, one), MEMORY, memory.bytes.get(from..memory.at)?));
        }
        let mut globals = Reader { bytes: program.globals, at: 0 };
        for global in 0..globals.number()? {
            imports.push(import(&handed(GLOBAL, global), GLOBAL, globals.take(2)?));
            order::constant(&mut globals)?;
        }
        let given = room.iter().filter(|(function, _)| self.functions[**function] == part);
        let exports: Vec<_> = given.map(|(function, name)| (name.clone(), FUNCTION, *function)).collect();
        let mut out = BEGINNING.to_vec();
        put(&mut out, 1, program.types);
        put(&mut out, 2, &list(imports));
        put(
            &mut out,
            3,
            &list(own.iter().map(|function| program.kind(*function).map(number)).collect::<Option<Vec<_>>>()?),
        );
        put(&mut out, 7, &self.exports(&exports, &numbers)?);
        self.finish(part, program, &own, &numbers, out)
    }

    fn exports(&self, exports: &[(String, u8, usize)], numbers: &[usize]) -> Option<Vec<u8>> {
        let mut all = Vec::new();
        for (name, kind, old) in exports {
            let new = if *kind == FUNCTION { numbers[*old] } else { *old };
            (new != NOBODY).then_some(())?;
            all.push([&text(name)[..], &[*kind], &number(new)].concat());
        }
        Some(list(all))
    }

    /// Adds what every part has: its places in the table, its code, its data.
    fn finish(
        &self,
        part: usize,
        program: &Program,
        own: &[usize],
        numbers: &[usize],
        mut out: Vec<u8>,
    ) -> Option<Vec<u8>> {
        let mut runs: Vec<(usize, Vec<usize>)> = Vec::new();
        for (at, function) in program.slots.1.iter().enumerate() {
            if self.functions[*function] != part {
                continue;
            }
            let slot = program.slots.0 + at;
            match runs.last_mut() {
                Some((first, run)) if *first + run.len() == slot => run.push(numbers[*function]),
                _ => runs.push((slot, vec![numbers[*function]])),
            }
        }
        let runs = runs
            .into_iter()
            .map(|(slot, run)| [&[0][..], &constant(slot), &list(run.into_iter().map(number))].concat());
        put(&mut out, 9, &list(runs));
        let renumber = |old: usize| numbers.get(old).copied().filter(|new| *new != NOBODY);
        let mut code = Vec::new();
        for function in own {
            let body = order::renumbered(program.bodies.get(function - program.imported.len())?, &renumber)?;
            code.push([number(body.len()), body].concat());
        }
        put(&mut out, 10, &list(code));
        let mut data = Vec::new();
        for ((start, bytes), parts) in program.data.iter().zip(&self.bytes) {
            for (from, to) in runs_of(part, parts, bytes) {
                let run = bytes.get(from..to)?;
                data.push([&[0][..], &constant(start + from), &number(run.len()), run].concat());
            }
        }
        put(&mut out, 11, &list(data));
        Some(out)
    }
}

/// From where to where the bytes of a part go. What belongs to nobody is the first part's, unless it is nothing but zeros, which memory is
/// full of.
fn runs_of(part: usize, parts: &[usize], bytes: &[u8]) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (at, owner) in parts.iter().enumerate() {
        if *owner != part && (part != 0 || *owner != NOBODY || bytes[at] == 0) {
            continue;
        }
        match runs.last_mut() {
            Some((_, to)) if at - *to <= NEAR => *to = at + 1,
            _ => runs.push((at, at + 1)),
        }
    }
    runs
}

/// The calculator that a door leads to: the first name of a module after the mark.
fn calculator(name: &str) -> Option<&str> {
    let mut rest = &name[name.find(CALCULATOR)? + CALCULATOR.len()..];
    loop {
        let first = rest.chars().next()?;
        if first == 'B' {
            // Something that was named before.
            rest = rest.split_once('_')?.1;
        } else if first.is_ascii_digit() {
            let digits = rest.find(|c: char| !c.is_ascii_digit())?;
            let length: usize = rest[..digits].parse().ok()?;
            return rest[digits..].trim_start_matches('_').get(..length);
        } else {
            rest = rest.get(first.len_utf8()..)?;
        }
    }
}

/// A short name for the function at this place in a list.
fn short(mut at: usize) -> String {
    const DIGITS: &[u8] = b"0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
    let mut name = String::new();
    loop {
        name.push(char::from(DIGITS[at % DIGITS.len()]));
        at /= DIGITS.len();
        if at == 0 {
            return name;
        }
    }
}

/// The name of a table, a memory or a global.
fn handed(kind: u8, number: usize) -> String {
    format!("{}{number}", ["", "$t", "$m", "$g"][usize::from(kind)])
}

/// An address or a place, as the program computes it.
fn constant(value: usize) -> Vec<u8> {
    let mut digits = number(value);
    // The number is signed there: a last digit that looks negative gets another.
    if let Some(last) = digits.last_mut().filter(|last| **last & 0x40 != 0) {
        *last |= 0x80;
        digits.push(0);
    }
    [&[0x41][..], &digits, &[0x0b]].concat()
}

fn import(name: &str, kind: u8, what: &[u8]) -> Vec<u8> {
    [&text(ROOM)[..], &text(name), &[kind], what].concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Functions of a small program: an imported one; the start; doors to two calculators and to the rest; what both calculators call; what
    /// one calculator and the rest call; the door to the app.
    const NAMES: [&str; 8] =
        ["given", "start", "_R5sheet5entryNtB4_5drainE", "_R5sheet5entryNtB_4heatE", "rest", "both", "also", "app"];
    const CALLS: [&[u8]; 7] = [&[0], &[5, 6], &[5], &[6, 0], &[], &[], &[0]];
    /// Its data: of the start, the doors to calculators, the doors to the rest, of the drain's door, of both calculators, the door to the app.
    const DATA: [(&str, &[u8]); 6] = [
        ("greeting", b"water!!!"),
        ("all", &[1, 0, 0, 0, 2, 0, 0, 0]),
        ("_R3app5doors5DOORS", &[3, 0, 0, 0, 0, 0, 0, 0]),
        ("of the drain", b"a pipe of forty and some"),
        ("of both", b"of litres and minutes is"),
        ("_R3app5doors3APP", &[4, 0, 0, 0]),
    ];
    /// Which function refers to which data, and which data to which function.
    const TO_DATA: [(usize, usize); 7] = [(1, 0), (1, 1), (1, 2), (1, 5), (2, 3), (2, 4), (3, 4)];
    const TO_FUNCTION: [(usize, usize, usize); 4] = [(1, 0, 2), (1, 4, 3), (2, 0, 4), (5, 0, 7)];
    const ADDRESS: usize = 1024;

    fn section(kind: u8, body: &[u8]) -> Vec<u8> {
        let mut out = Vec::new();
        put(&mut out, kind, body);
        out
    }

    fn custom(name: &str, body: &[u8]) -> Vec<u8> {
        section(0, &[&text(name)[..], body].concat())
    }

    fn names() -> Vec<u8> {
        let names = NAMES.iter().enumerate().map(|(at, name)| [number(at), text(name)].concat());
        custom("name", &section(1, &list(names)))
    }

    /// A function that calls others.
    fn body(calls: &[u8]) -> Vec<u8> {
        let calls: Vec<u8> = calls.iter().flat_map(|call| [0x10, *call]).collect();
        [&[0][..], &calls, &[0x0b]].concat()
    }

    fn finished() -> Vec<u8> {
        let import = [&text("js")[..], &text("given"), &[FUNCTION, 0]].concat();
        let bytes: Vec<u8> = DATA.iter().flat_map(|(_, bytes)| bytes.iter().copied()).collect();
        let data = [&[0][..], &constant(ADDRESS), &number(bytes.len()), &bytes].concat();
        [
            BEGINNING.to_vec(),
            section(1, &[1, 0x60, 0, 0]),
            section(2, &list([import])),
            section(3, &list(CALLS.map(|_| vec![0]))),
            section(4, &[1, 0x70, 0, 5]),
            section(5, &[1, 0, 1]),
            section(6, &[1, 0x7f, 1, 0x41, 0xd2, 1, 0x0b]),
            section(7, &list([[&text("main")[..], &[FUNCTION, 1]].concat()])),
            section(9, &[1, 0, 0x41, 1, 0x0b, 4, 2, 3, 4, 7]),
            section(10, &list(CALLS.map(|calls| [&number(body(calls).len())[..], &body(calls)].concat()))),
            section(11, &list([data])),
            names(),
        ]
        .concat()
    }

    fn linked(relocations: bool) -> Vec<u8> {
        let sizes = DATA.map(|(_, bytes)| bytes.len());
        let offset = |piece: usize| sizes[..piece].iter().sum::<usize>();
        let data = DATA.iter().enumerate().map(|(at, (name, bytes))| {
            [&[1, 0][..], &text(name), &number(0), &number(offset(at)), &number(bytes.len())].concat()
        });
        let functions = (0..NAMES.len())
            .map(|at| if at == 0 { vec![0, 0x10, 0] } else { [&[0, 0][..], &number(at), &text(NAMES[at])].concat() });
        let symbols = list(data.chain(functions).collect::<Vec<_>>());
        let segment = [&text(".rodata")[..], &[0, 0]].concat();
        // Bodies are set in the code after their count, each after its length.
        let starts =
            |function: usize| 1 + CALLS[..function - 1].iter().map(|calls| 1 + body(calls).len()).sum::<usize>();
        let of_code = TO_DATA.map(|(from, to)| [&[4][..], &number(starts(from) + 1), &number(to), &[0]].concat());
        // The data stands after the count, the kind, the address and the length.
        let before = 1 + 1 + constant(ADDRESS).len() + 1;
        let of_data = TO_FUNCTION
            .map(|(from, at, to)| [&[2][..], &number(before + offset(from) + at), &number(DATA.len() + to)].concat());
        let mut file = finished();
        file.extend(custom("linking", &[&[2][..], &section(5, &list([segment])), &section(8, &symbols)].concat()));
        if relocations {
            file.extend(custom("reloc.CODE", &[&[0][..], &list(of_code)].concat()));
            file.extend(custom("reloc.DATA", &[&[0][..], &list(of_data)].concat()));
        }
        file
    }

    /// What of a part stands in a section.
    fn of(part: &Part, kind: u8) -> Vec<u8> {
        let all = sections(&part.file).expect("a wasm file");
        all.iter().find(|section| section.kind == kind).map(|section| section.body.to_vec()).unwrap_or_default()
    }

    fn holds(bytes: &[u8], text: &str) -> bool {
        bytes.windows(text.len()).any(|window| window == text.as_bytes())
    }

    #[test]
    fn everything_is_in_one_part_and_nothing_too_late() {
        let parts = split(&linked(true), &finished()).expect("split");
        let names: Vec<&str> = parts.iter().map(|part| part.name.as_str()).collect();
        assert_eq!(names, [FIRST, SCREENS, SHARED, "shared1", "shared2", "drain", "heat", PAGES, OTHER]);
        let with: Vec<_> = parts.iter().filter_map(|part| part.with).collect();
        assert_eq!(with, ["shared1", "shared2"]);
        // What one calculator and the rest call is the calculator's: the rest comes last.
        let functions: Vec<usize> =
            parts.iter().map(|part| order::bodies(&of(part, 10)).expect("code").len()).collect();
        assert_eq!(functions, [1, 1, 1, 0, 0, 2, 1, 0, 1]);
        for (at, (_, bytes)) in DATA.iter().enumerate().filter(|(at, _)| ![1, 2, 5].contains(at)) {
            let text = std::str::from_utf8(bytes).expect("a text");
            let found: Vec<&str> =
                parts.iter().filter(|part| holds(&of(part, 11), text)).map(|part| part.name.as_str()).collect();
            assert_eq!(found, [[FIRST, "", "", "drain", SHARED][at]], "{text}");
        }
        // The doors' places in the table: empty in the first part, each filled by its own.
        let slots: Vec<Vec<u8>> = parts.iter().map(|part| of(part, 9)).collect();
        for part in [0, 2, 3, 4, 7] {
            assert_eq!(slots[part], [0]);
        }
        for (slot, part) in [(1, 5), (2, 6), (3, 8), (4, 1)] {
            assert_eq!(slots[part][..5], [1, 0, 0x41, slot, 0x0b], "{}", parts[part].name);
        }
        // What a part calls elsewhere it takes by the name under which that is handed out.
        let rest = of(&parts[8], 2);
        assert!(holds(&rest, "$t0") && holds(&rest, "$m0") && holds(&rest, "$g0"));
        assert!(holds(&of(&parts[0], 7), "main") && holds(&of(&parts[0], 7), "$m0"));
        assert_eq!(of(&parts[0], 2), of(&Part { name: String::new(), with: None, file: finished() }, 2));
    }

    /// Whatever set of doors something is reached from, it is there when any of them is opened.
    #[test]
    fn what_is_wanted_is_there() {
        let parts = Parts { families: vec![0, 1, 0] };
        let shared = [Parts::SHARED, Parts::FAMILIES[0], Parts::FAMILIES[1]];
        let doors: Vec<usize> = (Parts::APP..=parts.rest()).filter(|part| !shared.contains(part)).collect();
        for some in 1u32..1 << doors.len() {
            let from: BTreeSet<usize> =
                doors.iter().enumerate().filter(|(at, _)| some >> at & 1 == 1).map(|(_, part)| *part).collect();
            let place = parts.place(&from);
            for part in &from {
                assert!(place == *part || parts.there(*part, place), "{from:?}: {place} is not there with {part}");
            }
            assert!(from.len() > 1 || from.contains(&place), "{from:?}: {place}");
        }
        assert_eq!(parts.place(&[Parts::OWN, Parts::OWN + 1].into()), Parts::SHARED);
        assert_eq!(parts.place(&[Parts::OWN, Parts::OWN + 2].into()), Parts::FAMILIES[0]);
        assert_eq!(parts.place(&[Parts::OWN, parts.rest()].into()), Parts::OWN);
        assert_eq!(parts.place(&[Parts::APP, Parts::OWN].into()), 0);
    }

    #[test]
    fn families_keep_what_they_share() {
        let of = |own: &[usize]| own.iter().map(|own| Parts::OWN + own).collect::<BTreeSet<usize>>();
        // The first, third and fifth share much, so do the second and fourth, and all of them a little.
        let shared = [
            (of(&[0, 2]), 900),
            (of(&[2, 4]), 700),
            (of(&[1, 3]), 800),
            (of(&[0, 1, 2, 3, 4]), 100),
            (of(&[3, 4]), 50),
        ];
        let families = Parts::divided(5, &shared).families;
        assert!(families == [0, 1, 0, 1, 0] || families == [1, 0, 1, 0, 1], "{families:?}");
        assert!(Parts::divided(0, &[]).families.is_empty());
    }

    #[test]
    fn says_what_it_cannot_split() {
        assert!(split(&linked(false), &finished()).is_err_and(|fault| fault.contains("what refers to what")));
        assert!(split(&linked(true), BEGINNING).is_err_and(|fault| fault.contains("not understood")));
        let without = |name: &str| {
            let file = String::from_utf8_lossy(&linked(true)).into_owned();
            // Letters for letters, so that every length stays as it is.
            assert!(file.contains(name));
            let swap = |file: Vec<u8>| {
                let mut file = file;
                while let Some(at) = file.windows(name.len()).position(|window| window == name.as_bytes()) {
                    file[at] = b'x';
                }
                file
            };
            split(&swap(linked(true)), &swap(finished()))
        };
        assert!(without(CALCULATOR).is_err_and(|fault| fault.contains("doors to 0 calculators, 1 to")));
        assert!(without(APP).is_err_and(|fault| fault.contains("doors to 2 calculators, 0 to")));
        assert!(without(REST[0]).is_err_and(|fault| fault.contains("1 to the app and 0 to")));
        let whole = linked(true);
        for end in 0..whole.len() {
            let _ = split(&whole[..end], &finished());
        }
    }

    #[test]
    fn names_of_calculators_are_read_from_their_doors() {
        assert_eq!(
            calculator("_RNvYNCINvNtNtCs3c_8brimwise11calculators5sheet5entryNtNtB9_4pump4PumpE0"),
            Some("pump")
        );
        assert_eq!(
            calculator("_RNCINvNtNtCs3c_8brimwise11calculators5sheet5entryNtNtBa_6siphon6SiphonE0B6_"),
            Some("siphon")
        );
        for none in
            ["", "_RNvNtCs3c_8brimwise3app5start", "_R5sheet5entry", "_R5sheet5entryNt99_pump", "_R5sheet5entryB"]
        {
            assert_eq!(calculator(none), None, "{none}");
        }
    }

    #[test]
    fn numbers_as_a_program_computes_them() {
        assert_eq!(constant(1), [0x41, 1, 0x0b]);
        assert_eq!(constant(64), [0x41, 0xc0, 0, 0x0b]);
        assert_eq!(constant(1024), [0x41, 0x80, 8, 0x0b]);
        let all: BTreeSet<String> = (0..5000).map(short).collect();
        assert_eq!(all.len(), 5000);
    }

    #[test]
    fn what_is_near_is_sent_together() {
        let parts = [1, NOBODY, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, NOBODY];
        let bytes = [7, 0, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 9];
        assert_eq!(runs_of(1, &parts, &bytes), [(0, 3), (12, 13)]);
        assert_eq!(runs_of(0, &parts, &bytes), [(3, 14)]);
        assert_eq!(runs_of(2, &parts, &bytes), []);
    }
}
