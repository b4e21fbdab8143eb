//! The pinned command-line tools, installed into the project's own folder where they are missing.

use crate::project::Project;
use crate::shell::{self, Done, answer, find_in, say};
use crate::version::first_version;
use std::path::{Path, PathBuf};

/// The version of trunk, which builds the site. The other pins stand where their own tools read them: wasm-bindgen in
/// `Cargo.lock`, and what the end-to-end tests use in `tests/e2e/package-lock.json`.
const TRUNK: &str = "0.21.14";

/// Settings that make a tool quick to build rather than quick to run: they work for seconds and build for minutes.
const QUICK_BUILD: [(&str, &str); 4] = [("LTO", "false"), ("CODEGEN_UNITS", "16"), ("OPT_LEVEL", "1"), ("DEBUG", "0")];

/// A command-line tool of one exact version.
struct Tool<'a> {
    /// The package in the registry.
    package: &'a str,
    /// Programs that it installs; the first is asked for its version.
    programs: &'a [&'a str],
    version: &'a str,
    /// What is passed to `cargo install` besides.
    arguments: &'a [&'a str],
}

/// With what a tool is built: first with exactly the versions its makers tested, then with the newest that fit. A registry may lack one of
/// the first, being behind or because its author took it back, and a tool's own version is pinned either way.
const PARTS: [&[&str]; 2] = [&["--locked"], &[]];

/// Finds or builds trunk and the wasm-bindgen tools. Gives the folders that hold them.
pub fn ready(project: &Project) -> Done<Vec<PathBuf>> {
    let bindgen = project.locked("wasm-bindgen")?;
    let tools = [
        Tool {
            package: "wasm-bindgen-cli",
            programs: &["wasm-bindgen", "wasm-bindgen-test-runner"],
            version: &bindgen,
            arguments: &[],
        },
        // Without its default features it fetches nothing from the network, and builds sooner.
        Tool { package: "trunk", programs: &["trunk"], version: TRUNK, arguments: &["--no-default-features"] },
    ];
    let mut folders: Vec<PathBuf> = Vec::new();
    for tool in &tools {
        let folder = match find(project, tool) {
            Some(folder) => folder,
            None => install(project, tool)?,
        };
        if !folders.contains(&folder) {
            folders.push(folder);
        }
    }
    Ok(folders)
}

/// The folder that holds all programs of a tool in the right version, the project's own folder first, then PATH.
fn find(project: &Project, tool: &Tool) -> Option<PathBuf> {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let own = std::iter::once(project.tools().join("bin"));
    own.chain(std::env::split_paths(&path)).find(|folder| holds(project, folder, tool))
}

fn holds(project: &Project, folder: &Path, tool: &Tool) -> bool {
    tool.programs.iter().all(|name| {
        let Some(program) = find_in(folder, name) else { return false };
        let version = answer(project.command(program).arg("--version")).unwrap_or_default();
        first_version(&version) == Some(tool.version)
    })
}

fn install(project: &Project, tool: &Tool) -> Done<PathBuf> {
    let folder = project.tools();
    say(&format!("building {} {} into {} (once; some minutes)", tool.package, tool.version, project.short(&folder)));
    let build = folder.join("build");
    let built = shell::first(&PARTS, |parts| {
        let mut cargo = project.cargo();
        cargo.args(["install", tool.package, "--version", tool.version, "--force", "--quiet"]).args(tool.arguments);
        cargo.args(*parts).arg("--root").arg(&folder).env("CARGO_TARGET_DIR", &build);
        for (key, value) in QUICK_BUILD {
            cargo.env(format!("CARGO_PROFILE_RELEASE_{key}"), value);
        }
        shell::run(&mut cargo)
    });
    let _ = std::fs::remove_dir_all(build);
    built?;
    let bin = folder.join("bin");
    if holds(project, &bin, tool) {
        return Ok(bin);
    }
    Err(format!("{} was installed, but does not say that it is {}", tool.package, tool.version))
}
