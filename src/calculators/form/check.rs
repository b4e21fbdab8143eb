//! The range check: every active field against its declaration.

use super::*;

#[derive(Default)]
struct Check {
    at: String,
    faults: Vec<FieldError>,
    advice: Vec<(String, String)>,
    system: System,
}

impl Check {
    fn fault(&mut self, key: &str, label: &str, fault: FieldError) {
        self.faults.push(FieldError { path: format!("{}{key}", self.at), label: label.into(), ..fault });
    }
}

impl Form for Check {
    fn text(&mut self, text: &Text, value: &mut String) {
        if let Some(fault) = text.fault(value) {
            let accepted = format!("up to {} characters", text.most);
            self.fault(text.key, text.label, FieldError::new("", fault, accepted));
        }
    }
    fn part(&mut self, part: &Part, inner: &mut dyn Fields) {
        let at = self.at.clone();
        self.at = format!("{at}{}.", part.key);
        inner.fields(self);
        self.at = at;
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        if spec.fault(*si, self.system).is_some() {
            let say = |system| [spec.fault(*si, system).unwrap_or_default(), spec.accepted(system)];
            self.fault(spec.key, spec.label, FieldError::with_units("", &say));
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
            let fault =
                FieldError::new("", format!("{} rows are too many", rows.count()), format!("up to {}", list.most));
            self.fault(list.key, list.label, fault);
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
    told(c.faults, system)
}

/// A sentence for every active field outside its advised range: path and words.
pub fn advice(fields: &mut dyn Fields, system: System) -> Vec<(String, String)> {
    let mut c = Check { system, ..Check::default() };
    fields.fields(&mut c);
    c.advice
}
