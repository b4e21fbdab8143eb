//! Timings of the core: every calculator at its defaults, and the whole check of every demo system. Compare ratios within
//! one run; machines are noisy.
#![allow(missing_docs, reason = "criterion's macros write the functions")]

use brimwise::calculators;
use brimwise::system::check::{self, Day};
use brimwise::system::{demo, growing, json, limits, measure, report, worst};
use brimwise::units::{System, Words};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

/// Solving for the main level alone, as the system check does, and the full report of a page.
fn calculators(bench: &mut Criterion) {
    for entry in calculators::ALL {
        let sheet = (entry.sheet)();
        bench.bench_function(&format!("level/{}", entry.id), |b| b.iter(|| black_box(&sheet).level()));
        let words = Words::from(System::Metric);
        bench.bench_function(&format!("report/{}", entry.id), |b| b.iter(|| black_box(&sheet).run(words, true)));
    }
}

/// A whole system: one solve alone (no words, no repairs), and the report of every day with every repair tried on the whole;
/// and what is asked for below the list.
fn systems(bench: &mut Criterion) {
    for demo in demo::ALL {
        let document = demo.document();
        let words = Words::from(System::Metric);
        bench.bench_function(&format!("check/{}", demo.id), |b| {
            b.iter(|| check::solve(black_box(&document), Day::Today))
        });
        bench
            .bench_function(&format!("report/{}", demo.id), |b| b.iter(|| report::report(black_box(&document), words)));
        let plain = |n: &str| format!("{n}/{}", demo.id);
        bench.bench_function(&plain("limits"), |b| b.iter(|| limits::limits(black_box(&document))));
        bench.bench_function(&plain("measure"), |b| b.iter(|| measure::rank(black_box(&document), &|_| true)));
        bench.bench_function(&plain("worst"), |b| b.iter(|| worst::worst(black_box(&document))));
        bench.bench_function(&plain("growing"), |b| b.iter(|| growing::growing(black_box(&document))));
        let written = json::write(&document);
        let Some(object) = written.as_object() else { continue };
        bench.bench_function(&format!("document/{}", demo.id), |b| b.iter(|| json::check(black_box(object), words)));
    }
}

criterion_group!(benches, calculators, systems);
criterion_main!(benches);
