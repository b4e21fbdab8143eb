//! A calculator, and a calculator without its types.

use super::form::{self, Edit, EditValue, FieldError, Fields, Form, LayoutEntry};
use super::outcome::{Caution, Level, Outcome, Output, Outputs, Report, Working};
use crate::units::{System, Words};
use serde_json::{Map, Value};
use std::collections::BTreeSet;

/// One calculator: declared inputs, a cheap pure `solve`, a rich `report`.
pub trait Calculator: 'static {
    /// Declared inputs; the defaults are a sensible first case.
    type In: Fields + Default + Clone + Send + Sync + 'static;
    /// The typed result.
    type Out;
    /// Stable identifier.
    const ID: &'static str;
    /// Trade name, the title of the page.
    const TITLE: &'static str;
    /// The question on the button.
    const QUESTION: &'static str;
    /// One paragraph: what is computed, and its limits.
    const ABOUT: &'static str;
    /// Key of the output that answers the question in a number that a person can measure: the page writes it large. Empty where the
    /// fill level says it best.
    const ANSWER: &'static str = "";
    /// Is its first table what is to be done now? Then a page shows it right under the verdict.
    const URGENT: bool = false;

    /// Computes. Cheap: the system check, repairs and searches call it.
    ///
    /// # Errors
    /// Combinations of inputs that are impossible, each naming its field.
    fn solve(inputs: &Self::In, working: &mut Working) -> Result<Self::Out, Vec<FieldError>>;
    /// Puts out every named output, always the same keys in the same order.
    fn outputs(out: &Self::Out, sink: &mut dyn Outputs);
    /// The main fill level, cheap.
    fn level(out: &Self::Out) -> Option<Level>;
    /// Words, levels, repairs, pictures and tables in one unit system.
    fn report(inputs: &Self::In, out: &Self::Out, words: Words) -> Report;
    /// The cautions of the report alone. Where the system check asks for them they are to be cheap: without the rest of the report.
    fn cautions(inputs: &Self::In, out: &Self::Out, words: Words) -> Vec<Caution>;
    /// The key of the output whose moves rank the assumptions, where the main level says little; otherwise the level does.
    const RANKED: Option<&'static str> = None;
}

/// The one door to a calculator's function: ranges are checked first.
///
/// # Errors
/// Every field outside its range, or what the calculator finds impossible.
pub fn solve<C: Calculator>(inputs: &C::In, working: &mut Working) -> Result<C::Out, Vec<FieldError>> {
    let mut copy = inputs.clone();
    let faults = form::check(&mut copy, System::Metric);
    if faults.is_empty() { C::solve(inputs, working) } else { Err(faults) }
}

/// A filled-in calculator without its types: what the page and the JSON door hold.
pub trait Sheet: Send + Sync {
    /// Which calculator it is of.
    fn entry(&self) -> &'static Entry;
    /// Walks a form over the fields.
    fn walk(&mut self, form: &mut dyn Form);
    /// A copy.
    fn copy(&self) -> Box<dyn Sheet>;
    /// Checks, solves and reports.
    ///
    /// # Errors
    /// Every field error.
    fn run(&self, words: Words, working: bool) -> Result<Outcome, Vec<FieldError>>;
    /// Checks and solves, for the main level alone.
    ///
    /// # Errors
    /// Every field error.
    fn level(&self) -> Result<Option<Level>, Vec<FieldError>>;
    /// The output that ranks the assumptions, where it is not the level that does.
    fn ranked(&self) -> Option<Output>;
}

impl dyn Sheet + '_ {
    /// Every active field in the order of the page, with its value.
    pub fn layout(&self) -> Vec<LayoutEntry> {
        form::layout(&mut Walk(&mut *self.copy()))
    }
    /// Changes one field; false if there is none such.
    pub fn apply(&mut self, edit: &Edit) -> bool {
        form::apply(&mut Walk(self), edit)
    }
    /// The value of one field.
    pub fn value_at(&self, path: &str) -> Option<EditValue> {
        form::value_at(&mut Walk(&mut *self.copy()), path)
    }
    /// Every field as JSON.
    pub fn write(&self) -> Map<String, Value> {
        form::write(&mut Walk(&mut *self.copy()))
    }
    /// Reads fields from JSON; which were given.
    ///
    /// # Errors
    /// Every fault; the sheet is then half changed and should be dropped.
    pub fn read(&mut self, object: &Map<String, Value>, system: System) -> Result<BTreeSet<String>, Vec<FieldError>> {
        form::read(&mut Walk(self), object, system)
    }
    /// Faults that a calculator itself finds name the key: this gives them the name on the page.
    pub fn named(&self, mut faults: Vec<FieldError>) -> Vec<FieldError> {
        let layout = self.layout();
        for f in faults.iter_mut().filter(|f| f.label.is_empty()) {
            let label = layout.iter().find(|e| e.path == f.path).and_then(|e| e.item.label());
            f.label = label.unwrap_or_default().into();
        }
        faults
    }
    /// The fields described.
    pub fn describe(&self) -> Vec<Value> {
        form::describe(&mut Walk(&mut *self.copy()))
    }
}

struct Walk<'a>(&'a mut dyn Sheet);
impl Fields for Walk<'_> {
    fn fields(&mut self, form: &mut dyn Form) {
        self.0.walk(form);
    }
}

/// One line of the registry.
pub struct Entry {
    /// Stable identifier.
    pub id: &'static str,
    /// Trade name.
    pub title: &'static str,
    /// The question on the button.
    pub question: &'static str,
    /// One paragraph about it.
    pub about: &'static str,
    /// Key of the output that answers the question; may be empty.
    pub answer: &'static str,
    /// Is the first table what is to be done now?
    pub urgent: bool,
    /// A sheet with the defaults.
    pub sheet: fn() -> Box<dyn Sheet>,
}

impl std::fmt::Debug for Entry {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Entry({})", self.id)
    }
}

struct Of<C: Calculator>(C::In);

impl<C: Calculator> Sheet for Of<C> {
    fn entry(&self) -> &'static Entry {
        super::by_id(C::ID).unwrap_or(&super::ALL[0])
    }
    fn walk(&mut self, form: &mut dyn Form) {
        self.0.fields(form);
    }
    fn copy(&self) -> Box<dyn Sheet> {
        Box::new(Of::<C>(self.0.clone()))
    }
    fn run(&self, words: Words, working: bool) -> Result<Outcome, Vec<FieldError>> {
        let mut w = if working { Working::recorded() } else { Working::none() };
        let out = solve::<C>(&self.0, &mut w).map_err(|e| form::told(e, words.system))?;
        let mut report = C::report(&self.0, &out, words);
        let advice = form::advice(&mut self.0.clone(), words.system);
        report.cautions.extend(advice.into_iter().map(|(_, text)| Caution::new(text)));
        let mut outputs = vec![];
        C::outputs(&out, &mut outputs);
        Ok(Outcome { outputs, report, steps: w.take() })
    }
    fn level(&self) -> Result<Option<Level>, Vec<FieldError>> {
        Ok(C::level(&solve::<C>(&self.0, &mut Working::none())?))
    }
    fn ranked(&self) -> Option<Output> {
        let key = C::RANKED?;
        let mut outputs = vec![];
        C::outputs(&solve::<C>(&self.0, &mut Working::none()).ok()?, &mut outputs);
        outputs.into_iter().find(|o| o.key == key)
    }
}

/// A sheet with these inputs.
pub fn sheet<C: Calculator>(inputs: C::In) -> Box<dyn Sheet> {
    Box::new(Of::<C>(inputs))
}

/// The registry line of a calculator.
pub const fn entry<C: Calculator>() -> Entry {
    Entry {
        id: C::ID,
        title: C::TITLE,
        question: C::QUESTION,
        about: C::ABOUT,
        answer: C::ANSWER,
        urgent: C::URGENT,
        sheet: || Box::new(Of::<C>(C::In::default())),
    }
}
