//! The range check: every active field against its declaration.

use super::*;

#[derive(Default)]
struct Check {
    at: String,
    faults: Vec<FieldError>,
    advice: Vec<(String, String)>,
    system: System,
}

impl Form for Check {
    fn text(&mut self, text: &Text, value: &mut String) {
        if let Some(fault) = text.fault(value) {
            self.faults.push(FieldError {
                path: format!("{}{}", self.at, text.key),
                label: text.label.into(),
                fault,
                accepted: format!("up to {} characters", text.most),
            });
        }
    }
    fn part(&mut self, part: &Part, inner: &mut dyn Fields) {
        let at = self.at.clone();
        self.at = format!("{at}{}.", part.key);
        inner.fields(self);
        self.at = at;
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        if let Some(fault) = spec.fault(*si, self.system) {
            self.faults.push(FieldError {
                path: format!("{}{}", self.at, spec.key),
                label: spec.label.into(),
                fault,
                accepted: spec.accepted(self.system),
            });
        } else if *si < spec.advised[0] * (1.0 - 1e-12) || *si > spec.advised[1] * (1.0 + 1e-12) {
            let usual = format!(
                "{}: {} is unusual. Usual: {} to {}.",
                spec.label,
                show(spec.kind, *si, self.system),
                show(spec.kind, spec.advised[0], self.system),
                show(spec.kind, spec.advised[1], self.system),
            );
            self.advice.push((format!("{}{}", self.at, spec.key), usual));
        }
    }
    fn choice(&mut self, _: &Pick, _: &mut usize) {}
    fn group(&mut self, _: &Group, active: bool, inner: &mut dyn Fields) {
        if active {
            inner.fields(self);
        }
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        if rows.count() > list.most {
            self.faults.push(FieldError {
                path: format!("{}{}", self.at, list.key),
                label: list.label.into(),
                fault: format!("{} rows are too many", rows.count()),
                accepted: format!("up to {}", list.most),
            });
        }
        let at = self.at.clone();
        for i in 0..rows.count().min(list.most) {
            self.at = format!("{at}{}.{i}.", list.key);
            if let Some(row) = rows.row(i) {
                row.fields(self);
            }
        }
        self.at = at;
    }
}

/// Every active field outside its hard range (or not finite, or not whole where only whole numbers do).
pub fn check(fields: &mut dyn Fields, system: System) -> Vec<FieldError> {
    let mut c = Check { system, ..Check::default() };
    fields.fields(&mut c);
    c.faults
}

/// A sentence for every active field outside its advised range: path and words.
pub fn advice(fields: &mut dyn Fields, system: System) -> Vec<(String, String)> {
    let mut c = Check { system, ..Check::default() };
    fields.fields(&mut c);
    c.advice
}
