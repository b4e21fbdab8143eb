//! What is computed for a field brought to what the field takes.

use super::*;

struct Clamp;

impl Form for Clamp {
    fn text(&mut self, text: &Text, value: &mut String) {
        if let Some((end, _)) = value.char_indices().nth(text.most) {
            value.truncate(end);
        }
    }
    fn part(&mut self, _: &Part, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        *si = si.max(spec.hard[0]).min(spec.hard[1]);
    }
    fn choice(&mut self, _: &Pick, _: &mut usize) {}
    fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        if rows.count() > list.most {
            rows.resize(list.most);
        }
        for i in 0..rows.count() {
            if let Some(row) = rows.row(i) {
                row.fields(self);
            }
        }
    }
}

/// Brings every number into its hard range, and cuts texts and lists to what they may hold: also where an option is not chosen. For values
/// that are filled in from elsewhere, never for what a person typed.
pub fn into_range(fields: &mut dyn Fields) {
    fields.fields(&mut Clamp);
}
