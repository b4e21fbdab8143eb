//! What a person notes beside the sums of a system: prices, spare share, the bucket, and what was measured. The check does not read it.

use crate::calculators::form::*;
use crate::units::{kinds::*, si::*, *};

/// Most prices.
const MOST_PRICES: usize = 80;
/// Most readings: of all tests of the largest system, and of some that there are no more.
pub(super) const MOST_READINGS: usize = 200;
/// Most characters of the name of a part or a test.
const NAME: usize = 40;
/// Most characters of a currency.
const CURRENCY: usize = 8;

/// The notes of a system.
#[derive(Debug, Clone)]
pub struct Notes {
    /// What money is called.
    pub currency: String,
    /// Bought beyond what is needed.
    pub spare: Ratio,
    /// Bucket that flows are caught in.
    pub bucket: Volume,
    /// Prices.
    pub prices: Vec<Price>,
    /// Readings of tests.
    pub readings: Vec<Taken>,
}

/// The price of one line of the parts list.
#[derive(Debug, Clone, Default)]
pub struct Price {
    /// Key of the line.
    pub part: String,
    /// For one piece, one metre, one square metre, one cubic metre.
    pub price: Ratio,
}

/// A reading of one test.
#[derive(Debug, Clone, Default)]
pub struct Taken {
    /// Key of the test.
    pub test: String,
    /// What was predicted then, SI.
    pub predicted: Ratio,
    /// What was read, SI.
    pub read: Ratio,
}

impl Default for Notes {
    fn default() -> Self {
        Self {
            currency: String::new(),
            spare: PERCENT.of(percent(10.0)),
            bucket: VOLUME.of(l(10.0)),
            prices: vec![],
            readings: vec![],
        }
    }
}

impl Fields for Price {
    fn fields(&mut self, f: &mut dyn Form) {
        text(f, &Text::new(1, "part", "Part", NAME).hidden(), &mut self.part);
        num(f, &Field::new(2, "price", "Price", MONEY).range(0.0, 1e9), &mut self.price);
    }
}

impl Fields for Taken {
    fn fields(&mut self, f: &mut dyn Form) {
        text(f, &Text::new(1, "test", "Test", NAME).hidden(), &mut self.test);
        num(f, &Field::new(2, "predicted", "Predicted", RATIO).range(-1e12, 1e12), &mut self.predicted);
        num(f, &Field::new(3, "read", "Measured", RATIO).range(-1e12, 1e12), &mut self.read);
    }
}

impl Fields for Notes {
    fn fields(&mut self, f: &mut dyn Form) {
        text(f, &Text::new(1, "currency", "Currency", CURRENCY), &mut self.currency);
        let spare = Field::new(2, "spare", "Spare pipe, fittings and seals", PERCENT).range(0.0, 1.0);
        num(
            f,
            &spare.help("A tenth more saves a drive. It does not count for tanks, pumps and settlers."),
            &mut self.spare,
        );
        let bucket = Field::new(3, "bucket", "Your bucket holds", VOLUME).range(l(0.5), l(500.0));
        num(f, &bucket.help("To the mark that you fill it to. For a strong flow take a drum."), &mut self.bucket);
        list(f, &List::new(4, "prices", "Prices", "price", MOST_PRICES), &mut self.prices);
        list(f, &List::new(5, "readings", "Readings", "reading", MOST_READINGS), &mut self.readings);
    }
}

impl Notes {
    /// The changes that set the price of a part, to SI; `None` takes it away.
    pub fn price(&self, part: &str, price: Option<f64>) -> Vec<Edit> {
        let at = self.prices.iter().position(|p| p.part == part);
        let n = self.prices.len();
        match (at, price) {
            (Some(i), None) => vec![Edit { path: "notes.prices".into(), to: EditValue::Remove(i) }],
            (Some(i), Some(x)) => vec![Edit::num(format!("notes.prices.{i}.price"), MONEY.of(x))],
            (None, Some(x)) if n < MOST_PRICES => vec![
                Edit::rows("notes.prices", n + 1),
                Edit { path: format!("notes.prices.{n}.part"), to: EditValue::Text(part.into()) },
                Edit::num(format!("notes.prices.{n}.price"), MONEY.of(x)),
            ],
            _ => vec![],
        }
    }
    /// The changes that note a reading. Where there is no room left it takes the place of one whose test is not there any more.
    pub fn reading(&self, test: &str, predicted: f64, read: f64, there: impl Fn(&str) -> bool) -> Vec<Edit> {
        let n = self.readings.len();
        let find = |is: &dyn Fn(&str) -> bool| self.readings.iter().position(|r| is(&r.test));
        let had = find(&|t| t == test);
        let free = || if n < MOST_READINGS { Some(n) } else { find(&|t| !there(t)) };
        let Some(i) = had.or_else(free) else { return vec![] };
        let mut edits = vec![];
        if i == n {
            edits.push(Edit::rows("notes.readings", n + 1));
        }
        if had.is_none() {
            edits.push(Edit { path: format!("notes.readings.{i}.test"), to: EditValue::Text(test.into()) });
        }
        edits.push(Edit::num(format!("notes.readings.{i}.predicted"), RATIO.of(predicted)));
        edits.push(Edit::num(format!("notes.readings.{i}.read"), RATIO.of(read)));
        edits
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::{fittings::FITTINGS, media::MEDIA, pipes};
    use crate::system::{check, demo, document::ID, parts, prove};

    /// Keys of parts and tests are made elsewhere, of words and identifiers: with the longest of these they still fit the field that keeps them.
    #[test]
    fn the_longest_keys_fit_the_fields_that_keep_them() {
        let mut longest = 0;
        let mut fits = |key: &str| {
            longest = longest.max(key.chars().count());
            assert!(key.chars().count() <= NAME, "{key}");
        };
        for (_, mut d) in check::tests::documents() {
            let ids: Vec<String> = d.stations().iter().map(|s| s.id.to_string()).collect();
            let long = |id: &mut String| {
                let n = ids.iter().position(|i| i == id).expect("a station");
                *id = format!("{n:0>width$}", width = ID);
            };
            d.sumps.iter_mut().for_each(|s| long(&mut s.id));
            d.pumps.iter_mut().for_each(|s| long(&mut s.id));
            d.tanks.iter_mut().for_each(|s| long(&mut s.id));
            d.settlers.iter_mut().for_each(|s| long(&mut s.id));
            d.beds.iter_mut().for_each(|s| long(&mut s.id));
            for e in &mut d.edges {
                long(&mut e.from);
                long(&mut e.to);
            }
            parts::parts(&d, Words::default()).expect("parts").parts.iter().for_each(|p| fits(&p.key));
            prove::proofs(&d, Words::default()).expect("proofs").proofs.iter().for_each(|p| fits(&p.key));
        }
        let pipe = pipes::PIPES.iter().map(|p| p.id).max_by_key(|id| id.len()).expect("a pipe");
        FITTINGS.iter().for_each(|f| fits(&format!("fit {} {pipe}", f.id)));
        MEDIA.iter().for_each(|m| fits(&format!("medium {}", m.id)));
        assert!(longest > 30, "{longest}");
        assert!(!demo::ALL.is_empty());
    }
}
