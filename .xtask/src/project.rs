//! Where things lie. Everything that is built or installed goes under `target`, or where an environment variable says.

use crate::shell::{self, Done};
use crate::version;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The checkout, and the folders beside its sources.
#[derive(Debug)]
pub struct Project {
    /// The folder of the workspace's `Cargo.toml`.
    pub root: PathBuf,
    /// Where everything built goes that is not native Rust.
    pub target: PathBuf,
}

impl Project {
    /// Finds the checkout that this run belongs to.
    pub fn here() -> Done<Project> {
        // At run time, because two checkouts may share one target folder.
        let member = shell::variable("CARGO_MANIFEST_DIR").unwrap_or(env!("CARGO_MANIFEST_DIR").to_owned());
        let root = Path::new(&member).parent().ok_or("the project's folder could not be found")?.to_owned();
        Ok(Project { target: root.join("target"), root })
    }

    /// Where command-line tools are installed: `BRIMWISE_TOOLS`, else `target/tools`.
    pub fn tools(&self) -> PathBuf {
        shell::variable("BRIMWISE_TOOLS").map_or_else(|| self.target.join("tools"), PathBuf::from)
    }

    /// Cargo's folder for all that is built for the browser: `BRIMWISE_WEB_TARGET`, else `target/web`.
    pub fn web_target(&self) -> PathBuf {
        shell::variable("BRIMWISE_WEB_TARGET").map_or_else(|| self.target.join("web"), PathBuf::from)
    }

    /// The built site, as Trunk.toml says.
    pub fn dist(&self) -> PathBuf {
        self.target.join("dist")
    }

    /// The built site's files, compressed.
    pub fn compressed(&self) -> PathBuf {
        self.target.join("dist-gzip")
    }

    /// The built wasm before it is split.
    pub fn whole(&self) -> PathBuf {
        self.target.join("whole.wasm")
    }

    /// The end-to-end tests.
    pub fn e2e(&self) -> PathBuf {
        self.root.join("tests").join("e2e")
    }

    /// The version that `Cargo.lock` holds for a package.
    pub fn locked(&self, package: &str) -> Done<String> {
        let lock = shell::read(&self.root.join("Cargo.lock"))?;
        version::locked(&lock, package).ok_or(format!("Cargo.lock holds no package `{package}`"))
    }

    /// The oldest Rust compiler that the manifest allows.
    pub fn oldest_rust(&self) -> Done<String> {
        let manifest = shell::read(&self.root.join("Cargo.toml"))?;
        version::rust_version(&manifest).ok_or("Cargo.toml names no rust-version".to_owned())
    }

    /// A command in the project's folder.
    pub fn command(&self, program: impl AsRef<std::ffi::OsStr>) -> Command {
        shell::command(program, &self.root)
    }

    /// The person's own cargo, for everything native.
    pub fn cargo(&self) -> Command {
        self.command(shell::variable("CARGO").unwrap_or("cargo".to_owned()))
    }

    /// A path as seen from the checkout, to show to a person.
    pub fn short<'path>(&self, path: &'path Path) -> std::path::Display<'path> {
        path.strip_prefix(&self.root).unwrap_or(path).display()
    }
}
