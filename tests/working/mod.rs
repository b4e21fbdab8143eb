//! The arithmetic of a step of the working, done again as it stands there: `B = r A ripe/(0.092 p ration), p their protein`.
//!
//! Names are the step's own; those that it does not list, the results and terms of the steps before it. A comma or a semicolon outside of
//! brackets begins a remark, or says what a name stands for (`A = (π/4) D²`). What stands without a space between belongs together (`V²/2g`).
//! Temperatures are in °C where the equation says °C, in kelvin where it does not.

#![allow(unreachable_pub, reason = "a module of a test")]

use brimwise::calculators::outcome::{Step, Term};
use brimwise::units::kinds::TEMPERATURE;
use brimwise::units::si::celsius;

const CONSTANTS: &[(&str, f64)] = &[("π", std::f64::consts::PI), ("pi", std::f64::consts::PI), ("g", 9.806_65)];
/// After a number; of two that fit, the longer stands first.
const UNITS: &[(&str, f64)] = &[
    ("mg/kg/h", 1e-6 / 3600.0),
    ("mg/L", 1e-3),
    ("g/L", 1.0),
    ("kg/m³", 1.0),
    ("kg", 1.0),
    ("days", 86_400.0),
    ("day", 86_400.0),
    ("h", 3600.0),
    ("m", 1.0),
    ("Pa", 1.0),
    ("%", 0.01),
    ("°C", 1.0),
];
type Two = fn(f64, f64) -> f64;
const FUNCTIONS: &[(&str, Two)] =
    &[("max(", f64::max), ("min(", f64::min), ("ln(", |x, _| x.ln()), ("exp(", |x, _| x.exp())];
/// What is counted in whole ones.
const WHOLE: &str = "rounded up";

struct Names<'a> {
    terms: Vec<(&'a str, f64)>,
    said: Vec<(&'a str, &'a str)>,
    above: Vec<(&'a str, f64)>,
}

impl Names<'_> {
    /// The longest name that the text begins with, and what it stands for.
    fn find(&self, text: &str) -> Option<(usize, Result<f64, String>)> {
        let next = |n: &str| text[n.len()..].chars().next();
        let here = |n: &str| {
            text.starts_with(n) && !next(n).is_some_and(|c| c.is_alphabetic() || c.is_ascii_digit() || c == '_')
        };
        let longest = |all: &[(&str, f64)]| {
            all.iter()
                .filter(|(n, _)| here(n))
                .fold((0, 0.0), |a, (n, x)| if n.len() > a.0 { (n.len(), *x) } else { a })
        };
        let said = self.said.iter().filter(|(n, _)| here(n)).max_by_key(|(n, _)| n.len());
        let (mut found, mut length) = (None, 0);
        for (n, x) in [longest(&self.terms), longest(&self.above), longest(CONSTANTS)] {
            if n > length {
                (found, length) = (Some(Ok(x)), n);
            }
        }
        match said {
            Some((n, text)) if n.len() >= length && longest(&self.terms).0 < n.len() => {
                Some((n.len(), self.value(text)))
            }
            _ => found.map(|x| (length, x)),
        }
    }
    fn value(&self, text: &str) -> Result<f64, String> {
        let mut reader = Reader { rest: text, names: self };
        let x = reader.sum()?;
        if reader.rest.trim().is_empty() { Ok(x) } else { Err(format!("“{}”?", reader.rest)) }
    }
}

struct Reader<'a> {
    rest: &'a str,
    names: &'a Names<'a>,
}

impl Reader<'_> {
    fn eat(&mut self, token: &str) -> bool {
        let rest = self.rest.trim_start().strip_prefix(token);
        self.rest = rest.unwrap_or(self.rest);
        rest.is_some()
    }
    fn sum(&mut self) -> Result<f64, String> {
        let mut x = self.product()?;
        loop {
            if self.eat("+") {
                x += self.product()?;
            } else if self.eat("-") || self.eat("−") {
                x -= self.product()?;
            } else {
                return Ok(x);
            }
        }
    }
    fn product(&mut self) -> Result<f64, String> {
        let mut x = self.close()?;
        loop {
            if self.eat("/") {
                x /= self.close()?;
            } else if self.eat("×") || self.eat("x ") || self.factor() {
                x *= self.close()?;
            } else {
                return Ok(x);
            }
        }
    }
    /// Does another factor come?
    fn factor(&self) -> bool {
        let next = self.rest.trim_start().chars().next();
        next.is_some_and(|c| c.is_alphanumeric() && !"²³".contains(c) || "([√".contains(c))
    }
    fn close(&mut self) -> Result<f64, String> {
        let mut x = self.power()?;
        while self.factor() && !self.rest.starts_with(' ') {
            x *= self.power()?;
        }
        Ok(x)
    }
    fn power(&mut self) -> Result<f64, String> {
        let x = self.atom()?;
        Ok(if self.eat("²") {
            x.powi(2)
        } else if self.eat("³") {
            x.powi(3)
        } else if self.eat("^") {
            x.powf(if self.eat("-") { -self.atom()? } else { self.atom()? })
        } else {
            x
        })
    }
    fn atom(&mut self) -> Result<f64, String> {
        for (open, close) in [("(", ")"), ("[", "]"), ("|", "|")] {
            if self.eat(open) {
                let x = self.sum()?;
                let x = if open == "|" { x.abs() } else { x };
                return if self.eat(close) { Ok(x) } else { Err(format!("no {close} before “{}”", self.rest)) };
            }
        }
        if self.eat("√") {
            return self.power().map(f64::sqrt);
        }
        for (name, f) in FUNCTIONS {
            if self.eat(name) {
                let first = self.sum()?;
                let mut x = f(first, first);
                while self.eat(",") {
                    x = f(x, self.sum()?);
                }
                return if self.eat(")") { Ok(x) } else { Err(format!("no ) before “{}”", self.rest)) };
            }
        }
        self.rest = self.rest.trim_start();
        if self.rest.starts_with(|c: char| c.is_ascii_digit()) {
            return self.number();
        }
        let (length, x) = self.names.find(self.rest).ok_or_else(|| format!("no number for “{}”", self.rest))?;
        self.rest = &self.rest[length..];
        x
    }
    fn number(&mut self) -> Result<f64, String> {
        let all = self.rest;
        let digits = |s: &str| s.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(s.len());
        let mut end = digits(all);
        if let Some(power) = all[end..].strip_prefix("e-") {
            end += 2 + digits(power);
        }
        self.rest = &all[end..];
        let x: f64 = all[..end].parse().map_err(|_| format!("“{}” is no number", &all[..end]))?;
        let unit = self.rest.strip_prefix(' ').and_then(|rest| {
            UNITS.iter().find(|(u, _)| {
                rest.strip_prefix(u).is_some_and(|r| !r.starts_with(|c: char| c.is_alphanumeric() || c == '_'))
            })
        });
        Ok(match unit {
            Some((u, worth)) => {
                self.rest = &self.rest[1 + u.len()..];
                x * worth
            }
            None => x,
        })
    }
}

/// What the numbers of a step come to.
pub fn again(step: &Step, before: &[Step]) -> Result<f64, String> {
    let degrees = step.equation.contains("°C");
    let of = |t: &Term| {
        let warm = degrees && t.kind.id == TEMPERATURE.0.id;
        (t.symbol, if warm { t.si - celsius(0.0) } else { t.si })
    };
    let mut depth = 0;
    let parts: Vec<_> = step
        .equation
        .split(|c: char| {
            depth += i32::from("([".contains(c)) - i32::from(")]".contains(c));
            depth == 0 && ",;".contains(c)
        })
        .map(|part| part.trim().split_once(" = ").map_or(("", part), |(name, x)| (name, x)))
        .collect();
    let main = parts.iter().find(|p| p.0 == step.result.symbol).or(parts.first().filter(|p| p.0.is_empty()));
    let names = Names {
        terms: step.with.iter().map(of).collect(),
        said: parts.iter().filter(|p| !p.0.is_empty()).copied().collect(),
        above: before
            .iter()
            .rev()
            .map(|s| of(&s.result))
            .chain(before.iter().rev().flat_map(|s| s.with.iter().map(of)))
            .collect(),
    };
    let said = |why| format!("{}: {why}", step.equation);
    let x = names.value(main.ok_or_else(|| said("it is not about its result".into()))?.1).map_err(said)?;
    Ok(if step.equation.ends_with(WHOLE) { x.ceil() } else { x })
}
