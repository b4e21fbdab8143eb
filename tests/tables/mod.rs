//! Reading the reference tables, and comparing with them row by row.

#![allow(dead_code, unreachable_pub, reason = "a module that several tests share, each its own part of it")]

use brimwise::units::{ThermodynamicTemperature, kinds::TEMPERATURE, si::celsius};
use std::{fs, path::PathBuf};

/// One row of a table, its cells by column name.
pub struct Row<'a> {
    columns: &'a [&'a str],
    /// The cells, as written.
    pub cells: Vec<&'a str>,
    /// Line in the file.
    pub line: usize,
}

impl Row<'_> {
    /// A cell as it is written.
    pub fn word(&self, column: &str) -> &str {
        let at = self.columns.iter().position(|c| *c == column);
        self.cells[at.unwrap_or_else(|| panic!("no column {column} among {:?}", self.columns))]
    }

    /// A cell as a number.
    pub fn num(&self, column: &str) -> f64 {
        let text = self.word(column);
        text.parse().unwrap_or_else(|_| panic!("line {}: {column} is not a number: {text}", self.line))
    }

    /// A cell in degrees Celsius, as a temperature.
    pub fn celsius(&self, column: &str) -> ThermodynamicTemperature {
        TEMPERATURE.of(celsius(self.num(column)))
    }
}

/// How far a value may lie from the table's: the larger of a share of it and a fixed amount.
#[derive(Clone, Copy)]
pub struct Tolerance {
    share: f64,
    amount: f64,
}

/// A tolerance: a share of the table's value, or a fixed amount.
pub const fn within(share: f64, amount: f64) -> Tolerance {
    Tolerance { share, amount }
}

/// Collects every comparison of one table, and fails once with the worst of them.
pub struct Tally {
    compared: usize,
    worst: (f64, String),
    faults: Vec<String>,
}

impl Tally {
    /// Compares with the table's value.
    pub fn near(&mut self, row: &Row, column: &str, ours: f64, tolerance: Tolerance) {
        let theirs = row.num(column);
        self.value(row, column, ours, theirs, tolerance);
    }

    /// Compares with another value.
    pub fn value(&mut self, row: &Row, what: &str, ours: f64, theirs: f64, tolerance: Tolerance) {
        let allowed = tolerance.amount.max(tolerance.share * theirs.abs());
        let used = (ours - theirs).abs() / allowed;
        self.compared += 1;
        let told =
            format!("line {}: {what} ours {ours}, theirs {theirs}, allowed {allowed:.3e}; {:?}", row.line, row.cells);
        // A NaN must fail too.
        if used.is_nan() || used > 1.0 {
            self.faults.push(told.clone());
        }
        if used.is_nan() || used > self.worst.0 {
            self.worst = (used, told);
        }
    }

    /// Notes whether something holds.
    pub fn holds(&mut self, row: &Row, what: &str, is: bool) {
        self.compared += 1;
        if !is {
            self.faults.push(format!("line {}: {what}; {:?}", row.line, row.cells));
        }
    }
}

/// The tables of one folder.
pub struct Tables {
    /// Below `tests/reference`; empty for that folder itself.
    pub folder: &'static str,
    /// Each table with the number of rows that it must at least have, so that a check can't shrink unseen.
    pub listed: &'static [(&'static str, usize)],
    /// Tables there that tests of their own compare, each with the source of that test.
    pub elsewhere: &'static [(&'static str, &'static str)],
}

impl Tables {
    fn path(&self) -> PathBuf {
        PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/reference").join(self.folder)
    }

    /// Walks a table. The closure compares each row; a table that lost rows, or a row that compares nothing, fails.
    pub fn each_row(&self, table: &str, mut compare: impl FnMut(&Row, &mut Tally)) {
        let least = self.listed.iter().find(|(name, _)| *name == table).map(|(_, n)| *n);
        let least = least.unwrap_or_else(|| panic!("{table} is not listed"));
        let text = fs::read_to_string(self.path().join(table)).unwrap_or_else(|e| panic!("{table}: {e}"));
        let mut lines = text.lines().enumerate().filter(|(_, l)| !l.starts_with('#'));
        let columns: Vec<&str> = lines.next().map(|(_, l)| l.split(',').collect()).unwrap_or_default();
        let mut tally = Tally { compared: 0, worst: (0.0, String::new()), faults: vec![] };
        let mut rows = 0;
        for (at, line) in lines {
            let cells: Vec<&str> = line.split(',').collect();
            assert_eq!(cells.len(), columns.len(), "{table} line {}: cells", at + 1);
            let before = tally.compared;
            compare(&Row { columns: &columns, cells, line: at + 1 }, &mut tally);
            assert!(tally.compared > before, "{table} line {}: nothing was compared", at + 1);
            rows += 1;
        }
        assert!(rows >= least, "{table} has {rows} rows, it must have {least}");
        println!(
            "{table}: {rows} rows, {} comparisons, worst at {:.3} of its tolerance: {}",
            tally.compared, tally.worst.0, tally.worst.1
        );
        assert!(
            tally.faults.is_empty(),
            "{table}: {} of {} comparisons fail; the worst is {}\n{}",
            tally.faults.len(),
            tally.compared,
            tally.worst.1,
            tally.faults[..tally.faults.len().min(12)].join("\n")
        );
    }

    /// Every table of the folder is listed, names its source and its columns, and is compared in `here`, the source of the test; and no
    /// listed table is missing.
    pub fn all_compared(&self, here: &str) {
        let (mut bytes, mut seen) = (0, 0);
        for entry in fs::read_dir(self.path()).unwrap_or_else(|e| panic!("{e}")) {
            let path = entry.unwrap_or_else(|e| panic!("{e}")).path();
            if path.extension().is_none_or(|e| e != "csv") {
                continue;
            }
            let name = path.file_name().and_then(|n| n.to_str()).unwrap_or_default();
            if self.elsewhere.iter().any(|(listed, _)| *listed == name) {
                continue;
            }
            let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{name}: {e}"));
            assert!(self.listed.iter().any(|(listed, _)| *listed == name), "{name} is not listed");
            assert!(text.starts_with("# source: "), "{name} names no source");
            assert!(text.contains("\n# columns: "), "{name} names no columns");
            assert!(here.contains(&format!("each_row(\"{name}\"")), "{name} is compared by no test");
            bytes += text.len();
            seen += 1;
        }
        assert_eq!(seen, self.listed.len(), "a listed table is missing");
        for (name, test) in self.elsewhere {
            assert!(test.contains(name) && self.path().join(name).exists(), "{name} is compared nowhere");
        }
        assert!(bytes < 600_000, "the tables have grown to {bytes} bytes");
    }
}
