//! Timings of the whole check in a browser: `cargo xtask bench browser`. Compare ratios within one run; machines are noisy.
#![cfg(target_arch = "wasm32")]

use brimwise::system::check::{self, Day};
use brimwise::system::{demo, report};
use brimwise::units::{System, Words};
use std::hint::black_box;
use wasm_bindgen_test::{Criterion, wasm_bindgen_bench, wasm_bindgen_test_configure};

// In a worker: the page itself must stay responsive while it is driven.
wasm_bindgen_test_configure!(run_in_dedicated_worker);

/// Every demo system: one solve alone (no words, no repairs), and the report that the page shows, every repair tried.
#[wasm_bindgen_bench]
fn systems(bench: &mut Criterion) {
    for demo in demo::ALL {
        let document = demo.document();
        let words = Words::from(System::Metric);
        bench.bench_function(&format!("check/{}", demo.id), |b| {
            b.iter(|| check::solve(black_box(&document), Day::Today))
        });
        bench
            .bench_function(&format!("report/{}", demo.id), |b| b.iter(|| report::report(black_box(&document), words)));
    }
}
