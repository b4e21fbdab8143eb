//! What this machine has, and getting what it lacks: a way to build for the browser, a browser, and Node.js.

use crate::project::Project;
use crate::shell::{self, Done, answer, find, say};
use crate::version::{at_least, first_version};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

/// The oldest Node.js that runs the end-to-end tests.
const OLDEST_NODE: &str = "20.0";
/// Debian's packages for the second way: a newer compiler, its standard library's sources, and a linker for wasm.
const DEBIAN_RUST: [&str; 4] = ["rustc-web", "cargo-web", "rust-web-src", "lld"];
/// Debian's package of the linter that belongs to that compiler.
const DEBIAN_CLIPPY: &str = "rust-web-clippy";
/// Debian's packages for tests in a browser. The fonts make a screenshot readable.
const DEBIAN_BROWSER: [&str; 3] = ["chromium", "chromium-driver", "fonts-dejavu-core"];
/// Debian's packages for what is written in JavaScript.
const DEBIAN_NODE: [&str; 2] = ["nodejs", "npm"];
/// Where Debian's packages put their programs.
const DEBIAN_PROGRAMS: &str = "/usr/bin";
/// The crates of the standard library that are built from source for the browser.
const STANDARD: &str = "std,panic_abort";
/// What makes a compiler leave out of a site that nobody debugs: the places of panics, and all that only `{:?}` would print.
const SMALL: &str = "-Zlocation-detail=none -Zfmt-debug=none";
/// What makes the linker say what refers to what, under names that are all different: `split` goes by both.
const LINKED: &str = "-Csymbol-mangling-version=v0 -Clink-arg=--emit-relocs -Clink-arg=--no-demangle";
/// The variable with the compiler's switches for the browser. They are added to the ones of .cargo/config.toml.
const SWITCHES: &str = "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS";
/// How long rustup may try to fetch something before the other way is taken.
const RUSTUP_LIMIT: Duration = Duration::from_secs(60);
/// Where a toolchain keeps the standard library's sources, if it has them.
const SOURCES: &str = "lib/rustlib/src/rust/library/std/Cargo.toml";
/// The target of everything built for the browser.
pub const WASM: &str = "wasm32-unknown-unknown";

/// How Rust is compiled for the browser on this machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// The ordinary way: the person's own toolchain has the wasm target.
    Toolchain,
    /// Debian's compiler builds the standard library from its source package: needs package registries only.
    Debian,
}

impl Way {
    /// What `BRIMWISE_WASM` may be set to, to take a way without looking.
    fn named(name: &str) -> Done<Way> {
        match name {
            "toolchain" => Ok(Way::Toolchain),
            "debian" => Ok(Way::Debian),
            _ => Err(format!("BRIMWISE_WASM is `{name}`; it may be `toolchain` or `debian`")),
        }
    }

    /// What is done, in a line.
    pub fn sentence(self) -> &'static str {
        match self {
            Way::Toolchain => "compiling for the browser with the toolchain's own wasm target",
            Way::Debian => "compiling for the browser with Debian's compiler and its standard library's sources",
        }
    }

    /// Cargo for tests and checks of browser code, with these folders of tools ahead of all others in PATH.
    pub fn cargo(self, project: &Project, tools: &[PathBuf]) -> Command {
        let mut cargo = match self {
            Way::Toolchain => self.equip(project.cargo(), project, tools),
            Way::Debian => self.equip(project.command(debian("cargo")), project, tools),
        };
        // Dependencies, macros among them, run for moments here: what counts is how soon they are compiled.
        cargo.args(["--config", "profile.dev.package.\"*\".opt-level=0"]);
        cargo
    }

    /// Any program that itself calls cargo, made to build for the browser in this way.
    pub fn equip(self, mut command: Command, project: &Project, tools: &[PathBuf]) -> Command {
        let mut folders = tools.to_vec();
        command.env("CARGO_TARGET_DIR", project.web_target());
        if self == Way::Debian {
            folders.insert(0, PathBuf::from(DEBIAN_PROGRAMS));
            for name in ["RUSTUP_TOOLCHAIN", "CARGO", "RUSTDOC", "RUSTC_WRAPPER", "RUSTC_WORKSPACE_WRAPPER"] {
                command.env_remove(name);
            }
            command.env("RUSTC", debian("rustc"));
            command.env("RUSTC_BOOTSTRAP", "1");
            command.env("CARGO_UNSTABLE_BUILD_STD", STANDARD);
            command.env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", "wasm-ld");
        }
        let inherited = std::env::var_os("PATH").unwrap_or_default();
        folders.extend(std::env::split_paths(&inherited));
        if let Ok(path) = std::env::join_paths(folders) {
            command.env("PATH", path);
        }
        command
    }
}

/// Sets the compiler's switches for a site: it can be split, and is small where that can be.
pub fn site(project: &Project, way: Way, command: &mut Command) {
    command.env(SWITCHES, LINKED);
    small(project, way, command);
}

/// Makes a site small: its standard library is built from source for size, and a panic ends it at once, without words. That needs switches
/// which the compiler calls unstable, and the library's sources; where either is missing the site is built without, and is larger.
fn small(project: &Project, way: Way, command: &mut Command) {
    if !knows_small(project, way) || !(way == Way::Debian || toolchain_has_sources(project)) {
        say("the standard library stays as it comes: the site will be some 40 kB larger than need be");
        return;
    }
    command.env("RUSTC_BOOTSTRAP", "1");
    command.env("CARGO_UNSTABLE_BUILD_STD", STANDARD);
    command.env("CARGO_UNSTABLE_BUILD_STD_FEATURES", "optimize_for_size");
    command.env("CARGO_UNSTABLE_PANIC_IMMEDIATE_ABORT", "true");
    command.env("CARGO_PROFILE_WEB_PANIC", "immediate-abort");
    command.env(SWITCHES, format!("{LINKED} {SMALL}"));
}

/// Whether the compiler and its cargo know what makes a site small.
fn knows_small(project: &Project, way: Way) -> bool {
    let (mut rustc, mut cargo) = match way {
        Way::Toolchain => (project.command(compiler()), project.cargo()),
        Way::Debian => (project.command(debian("rustc")), project.command(debian("cargo"))),
    };
    rustc.env("RUSTC_BOOTSTRAP", "1").args(SMALL.split(' '));
    rustc.args(["-Zunstable-options", "-Cpanic=immediate-abort", "--print", "cfg", "--target", WASM]);
    answer(&mut rustc).is_some()
        && answer(cargo.args(["-Z", "help"])).is_some_and(|help| help.contains("panic-immediate-abort"))
}

/// Whether the toolchain in use has the standard library's sources; rustup is asked for them where it does not.
fn toolchain_has_sources(project: &Project) -> bool {
    let there = || {
        let root = answer(project.command(compiler()).args(["--print", "sysroot"])).unwrap_or_default();
        Path::new(root.trim()).join(SOURCES).is_file()
    };
    there() || rustup_adds(project, &["component", "add", "rust-src"], &there)
}

fn compiler() -> String {
    shell::variable("RUSTC").unwrap_or("rustc".to_owned())
}

fn debian(program: &str) -> PathBuf {
    Path::new(DEBIAN_PROGRAMS).join(program)
}

/// Finds or prepares a way to compile for the browser.
pub fn wasm(project: &Project) -> Done<Way> {
    if let Some(name) = shell::variable("BRIMWISE_WASM") {
        let way = Way::named(&name)?;
        if way == Way::Debian {
            debian_rust(project)?;
        }
        return Ok(way);
    }
    let there = || toolchain_has_wasm(project);
    if there() || rustup_adds(project, &["target", "add", WASM], &there) {
        return Ok(Way::Toolchain);
    }
    let ready = debian_rust_is_ready(project);
    if !ready && !can_install() {
        return Err(format!("Rust cannot compile for the browser here: run `rustup target add {WASM}` and try again."));
    }
    debian_rust(project)?;
    Ok(Way::Debian)
}

/// Whether the compiler in use comes with a standard library for wasm, however it was installed.
fn toolchain_has_wasm(project: &Project) -> bool {
    let Some(folder) = answer(project.command(compiler()).args(["--print", "target-libdir", "--target", WASM])) else {
        return false;
    };
    let Ok(files) = std::fs::read_dir(folder.trim()) else { return false };
    files.flatten().any(|file| file.file_name().to_string_lossy().starts_with("libstd-"))
}

/// Asks rustup once to add something. An answer of no is remembered for as long as the compiler stays the same.
fn rustup_adds(project: &Project, what: &[&str], there: &dyn Fn() -> bool) -> bool {
    let Some(rustup) = find("rustup") else { return false };
    let compiler = answer(project.command("rustc").arg("--version")).unwrap_or_default();
    let name = what.last().copied().unwrap_or_default();
    let refused = project.target.join(format!("rustup-has-no-{name}"));
    if std::fs::read_to_string(&refused).is_ok_and(|text| text == compiler) {
        return false;
    }
    say(&format!("asking rustup for {name} (at most {} s)", RUSTUP_LIMIT.as_secs()));
    let added = shell::succeeds_within(project.command(rustup).args(what), RUSTUP_LIMIT) && there();
    if !added {
        say("rustup cannot supply it here");
        let _ = shell::write(&refused, &compiler);
    }
    added
}

/// Whether Debian's compiler, its sources and its linker are all there and new enough.
fn debian_rust_is_ready(project: &Project) -> bool {
    let version = answer(project.command(debian("rustc")).arg("--version")).unwrap_or_default();
    let root = answer(project.command(debian("rustc")).args(["--print", "sysroot"])).unwrap_or_default();
    let sources = Path::new(root.trim()).join(SOURCES);
    let new_enough = match (first_version(&version), project.oldest_rust()) {
        (Some(have), Ok(least)) => at_least(have, &least),
        _ => false,
    };
    new_enough && sources.is_file() && debian("cargo").is_file() && find("wasm-ld").is_some()
}

fn debian_rust(project: &Project) -> Done {
    if !debian_rust_is_ready(project) {
        install(project, &DEBIAN_RUST)?;
    }
    if debian_rust_is_ready(project) {
        return Ok(());
    }
    let least = project.oldest_rust()?;
    Err(format!(
        "Rust cannot compile for the browser here: Debian's packages hold no rustc of {least} or newer with its \
         sources; run `rustup target add {WASM}` and try again."
    ))
}

/// Makes sure that the linter for browser code is there.
pub fn wasm_clippy(project: &Project, way: Way) -> Done {
    if way == Way::Debian && !debian("cargo-clippy").is_file() {
        install(project, &[DEBIAN_CLIPPY])?;
    }
    Ok(())
}

/// Makes sure that the person's own toolchain can format and lint.
pub fn formatter_and_linter(project: &Project) -> Done {
    for (component, program) in [("rustfmt", "fmt"), ("clippy", "clippy")] {
        let there = || answer(project.cargo().args([program, "--version"])).is_some();
        if !there() {
            if let Some(rustup) = find("rustup") {
                say(&format!("asking rustup for {component}"));
                shell::succeeds_within(project.command(rustup).args(["component", "add", component]), RUSTUP_LIMIT);
            }
            if !there() {
                return Err(format!("`cargo {program}` is missing: run `rustup component add {component}`."));
            }
        }
    }
    Ok(())
}

/// A browser and the program that drives it.
#[derive(Clone, Debug)]
pub struct Browser {
    /// Chromium, or Chrome.
    pub browser: PathBuf,
    /// Its chromedriver.
    pub driver: PathBuf,
}

/// Finds or installs Chromium and its driver. `BRIMWISE_CHROME` and `CHROMEDRIVER` name others.
pub fn browser(project: &Project) -> Done<Browser> {
    if let (Some(browser), Some(driver)) = (find_browser(), find_driver()) {
        return Ok(Browser { browser, driver });
    }
    let missing = "the browser tests need Chromium (or Chrome) and a chromedriver of the same version in PATH, \
                   or named by BRIMWISE_CHROME and CHROMEDRIVER.";
    if !can_install() {
        return Err(missing.to_owned());
    }
    install(project, &DEBIAN_BROWSER)?;
    match (find_browser(), find_driver()) {
        (Some(browser), Some(driver)) => Ok(Browser { browser, driver }),
        _ => Err(missing.to_owned()),
    }
}

fn find_browser() -> Option<PathBuf> {
    if let Some(named) = shell::variable("BRIMWISE_CHROME") {
        return Some(PathBuf::from(named)).filter(|path| path.is_file());
    }
    let names = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome"];
    let app = PathBuf::from("/Applications/Google Chrome.app/Contents/MacOS/Google Chrome");
    names.iter().find_map(|name| find(name)).or(Some(app).filter(|path| path.is_file()))
}

fn find_driver() -> Option<PathBuf> {
    match shell::variable("CHROMEDRIVER") {
        Some(named) => Some(PathBuf::from(named)).filter(|path| path.is_file()),
        None => find("chromedriver"),
    }
}

/// Finds or installs Node.js with npm.
pub fn node(project: &Project) -> Done {
    let there = || {
        let version = answer(project.command("node").arg("--version")).unwrap_or_default();
        first_version(&version).is_some_and(|have| at_least(have, OLDEST_NODE)) && find("npm").is_some()
    };
    if !there() && can_install() {
        install(project, &DEBIAN_NODE)?;
    }
    if there() { Ok(()) } else { Err(format!("the end-to-end tests need Node.js {OLDEST_NODE} or newer, with npm.")) }
}

/// Whether this is a Debian-like machine on which packages may be installed without asking for a password.
fn can_install() -> bool {
    find("apt-get").is_some() && administrator().is_some()
}

/// The words to put before a command so that it runs as the administrator: none where we are it, `sudo -n` where
/// that works without a password.
fn administrator() -> Option<Vec<&'static str>> {
    let id = answer(Command::new("id").arg("-u"))?;
    if id.trim() == "0" {
        return Some(Vec::new());
    }
    answer(Command::new("sudo").args(["-n", "true"]))?;
    Some(vec!["sudo", "-n"])
}

fn install(project: &Project, packages: &[&str]) -> Done {
    say(&format!("installing Debian's {}", packages.join(", ")));
    let mut before = administrator().ok_or("packages can only be installed by the administrator")?;
    before.extend(["env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "-qq"]);
    let run = |arguments: &[&str]| {
        let mut all = before.clone();
        all.extend(arguments);
        shell::run_quietly(project.command(all.remove(0)).args(all))
    };
    run(&["update"])?;
    let mut arguments = vec!["install", "--yes", "--no-install-recommends"];
    arguments.extend(packages);
    run(&arguments)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn project() -> Project {
        Project { root: PathBuf::from("root"), target: PathBuf::from("root/target") }
    }

    fn variables(command: &Command) -> Vec<(String, Option<String>)> {
        let text = |value: &std::ffi::OsStr| value.to_string_lossy().into_owned();
        command.get_envs().map(|(key, value)| (text(key), value.map(text))).collect()
    }

    #[test]
    fn ways_have_names() {
        assert_eq!(Way::named("toolchain"), Ok(Way::Toolchain));
        assert_eq!(Way::named("debian"), Ok(Way::Debian));
        assert!(Way::named("other").is_err_and(|error| error.contains("other")));
    }

    #[test]
    fn debian_way_leaves_the_toolchain_alone() {
        let tools = [PathBuf::from("tools")];
        let set = variables(&Way::Debian.equip(Command::new("trunk"), &project(), &tools));
        let value = |name: &str| set.iter().find(|(key, _)| key == name).map(|(_, value)| value.clone());
        assert_eq!(value("RUSTUP_TOOLCHAIN"), Some(None));
        assert_eq!(value("RUSTC"), Some(Some("/usr/bin/rustc".to_owned())));
        assert_eq!(value("CARGO_UNSTABLE_BUILD_STD"), Some(Some("std,panic_abort".to_owned())));
        let path = value("PATH").flatten().unwrap_or_default();
        let folders: Vec<PathBuf> = std::env::split_paths(&path).take(2).collect();
        assert_eq!(folders, [PathBuf::from("/usr/bin"), PathBuf::from("tools")]);
    }

    #[test]
    fn ordinary_way_sets_no_compiler() {
        let set = variables(&Way::Toolchain.equip(Command::new("trunk"), &project(), &[PathBuf::from("tools")]));
        assert!(set.iter().all(|(key, _)| key != "RUSTC" && key != "RUSTC_BOOTSTRAP"));
        let path = set.iter().find(|(key, _)| key == "PATH").and_then(|(_, value)| value.clone()).unwrap_or_default();
        assert_eq!(std::env::split_paths(&path).next(), Some(PathBuf::from("tools")));
    }
}
