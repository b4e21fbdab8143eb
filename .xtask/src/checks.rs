//! Tests and checks.

use crate::machine::{self, WASM};
use crate::project::Project;
use crate::shell::{self, Count, Done, run, run_counting, run_quietly, say};
use crate::web::{self, Web};
use crate::{onefile, size};
use std::process::Command;
use std::time::Instant;

/// A group of tests.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// Unit, integration and documentation tests on this machine's own processor.
    Native,
    /// Tests of browser code, in a browser.
    Browser,
    /// The built site, opened as a visitor would.
    EndToEnd,
}

impl Group {
    /// All groups, in the order in which they run.
    pub const ALL: [Group; 3] = [Group::Native, Group::Browser, Group::EndToEnd];

    /// What the group is called on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Group::Native => "native",
            Group::Browser => "browser",
            Group::EndToEnd => "e2e",
        }
    }

    fn run(self, project: &Project, filters: &[String]) -> Done<Count> {
        match self {
            Group::Native => run_counting(project.cargo().args(["test", "--workspace"]).args(filters)),
            Group::Browser => in_browser(project, filters),
            Group::EndToEnd => {
                web::build(project)?;
                if !onefile::is_current(project) {
                    onefile::build(project)?;
                }
                let size = size::report(project);
                let count = run_counting(end_to_end(project, "run.mjs")?.args(filters));
                // A site that is too large is still worth trying out.
                match (size, count) {
                    (Err(size), Err(count)) => Err(format!("{size}; {count}")),
                    (size, count) => size.and(count),
                }
            }
        }
    }
}

/// Runs groups of tests and closes with their counts. All groups run, even after one has failed.
pub fn test(project: &Project, groups: &[Group], filters: &[String]) -> Done {
    let mut lines = Vec::new();
    let mut faults = Vec::new();
    let mut all = Count::default();
    for group in groups {
        let started = Instant::now();
        let result = group.run(project, filters);
        let time = format!("{:.0} s", started.elapsed().as_secs_f64());
        match result {
            Ok(count) => {
                all = all.and(count);
                lines.push(format!("   {:<8} {count} ({time})", group.name()));
            }
            Err(fault) => {
                eprintln!("{fault}");
                all.failed += 1;
                lines.push(format!("   {:<8} FAILED ({time}): {fault}", group.name()));
                faults.push(group.name());
            }
        }
    }
    println!();
    for line in lines {
        println!("{line}");
    }
    println!("{all}");
    if faults.is_empty() { Ok(()) } else { Err(format!("tests failed: {}", faults.join(", "))) }
}

fn in_browser(project: &Project, filters: &[String]) -> Done<Count> {
    let web = Web::ready(project)?;
    let browser = machine::browser(project)?;
    let mut cargo = driven(project, &web, browser);
    cargo.args(["test", "--target", WASM, "--features", "app", "--test", "web"]).args(filters);
    run_counting(&mut cargo)
}

/// Cargo, set to run what it builds in a browser.
fn driven(project: &Project, web: &Web, browser: machine::Browser) -> Command {
    let mut cargo = web.cargo(project);
    cargo.env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER", "wasm-bindgen-test-runner");
    cargo.env("CHROMEDRIVER", browser.driver);
    cargo.env("WASM_BINDGEN_TEST_WEBDRIVER_JSON", project.root.join("tests").join("webdriver.json"));
    cargo
}

/// A script of `tests/e2e`, with the packages it needs installed, and told where everything is.
pub fn end_to_end(project: &Project, script: &str) -> Done<Command> {
    machine::node(project)?;
    let browser = machine::browser(project)?;
    node_packages(project)?;
    let mut node = project.command("node");
    node.arg(format!("tests/e2e/{script}"));
    node.env("BRIMWISE_CHROME", browser.browser);
    let server = std::env::current_exe().map_err(|error| format!("this program cannot find itself: {error}"))?;
    node.env("BRIMWISE_SERVER", server);
    // The scripts start this program again, which must then find this checkout, not the one that it was compiled in.
    node.env("CARGO_MANIFEST_DIR", project.root.join(".xtask"));
    Ok(node)
}

fn node_packages(project: &Project) -> Done {
    let folder = project.e2e();
    let lock = shell::read(&folder.join("package-lock.json"))?;
    let stamp = folder.join("node_modules").join(".lock-installed");
    if std::fs::read_to_string(&stamp).is_ok_and(|installed| installed == lock) {
        return Ok(());
    }
    say("installing the end-to-end tests' packages (once)");
    let npm = if cfg!(windows) { "npm.cmd" } else { "npm" };
    // As with the tools: what the lock says, or else what package.json allows and the registry has.
    let ways: [&[&str]; 2] = [&["ci"], &["install", "--no-package-lock"]];
    shell::first(&ways, |way| {
        run_quietly(shell::command(npm, &folder).args(*way).args(["--ignore-scripts", "--no-audit", "--no-fund"]))
    })?;
    shell::write(&stamp, &lock)
}

/// Formatting, lints and documentation, with every warning an error. All are done, even after one has failed.
pub fn check(project: &Project) -> Done {
    machine::formatter_and_linter(project)?;
    let web = Web::ready(project)?;
    machine::wasm_clippy(project, web.way)?;
    let deny = ["--", "-D", "warnings"];
    let app = ["--target", WASM, "--features", "app", "--lib"];
    let mut steps = [project.cargo(), project.cargo(), web.cargo(project), project.cargo(), web.cargo(project)];
    let [format, lint, lint_app, document, document_app] = &mut steps;
    format.args(["fmt", "--all", "--", "--check"]);
    lint.args(["clippy", "--workspace", "--all-targets"]).args(deny);
    lint_app.arg("clippy").args(app).args(["--bin", "brimwise", "--test", "web"]).args(deny);
    document.args(["doc", "--workspace", "--no-deps"]).env("RUSTDOCFLAGS", "-D warnings");
    document_app.arg("doc").args(app).arg("--no-deps").env("RUSTDOCFLAGS", "-D warnings");
    let faults: Vec<String> = steps.iter_mut().filter_map(|step| run(step).err()).collect();
    if faults.is_empty() { Ok(()) } else { Err(faults.join("; ")) }
}

/// How long timings in a browser may take in all, s.
const BENCH_SECONDS: &str = "300";

/// Timings of the core, natively or (`browser`) in a browser. Never part of the tests: a busy machine is no fault.
pub fn bench(project: &Project, filters: &[String]) -> Done {
    if let [place, filters @ ..] = filters
        && place == "browser"
    {
        let web = Web::ready(project)?;
        let browser = machine::browser(project)?;
        let mut cargo = driven(project, &web, browser);
        cargo.env("WASM_BINDGEN_TEST_TIMEOUT", BENCH_SECONDS);
        // What the page gets is timed, not a build for tests.
        return run(cargo.args(["bench", "--target", WASM, "--profile", "web", "--bench", "browser"]).args(filters));
    }
    run(project.cargo().args(["bench", "--bench", "check"]).args(filters))
}
