//! Running other programs, and saying in a line what is being done.

use std::ffi::OsStr;
use std::io::{BufRead, BufReader, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

/// What every step gives back: nothing, or one sentence that says what went wrong.
pub type Done<T = ()> = Result<T, String>;

/// A command that took longer says how long.
const WORTH_TELLING: Duration = Duration::from_secs(10);

/// Tells the person what happens now.
pub fn say(text: &str) {
    println!("-> {text}");
    let _ = std::io::stdout().flush();
}

/// A command that runs in `folder`, freed of what `cargo run` put in the environment for this very program.
pub fn command(program: impl AsRef<OsStr>, folder: &Path) -> Command {
    let mut command = Command::new(program);
    command.current_dir(folder);
    for (name, _) in std::env::vars_os() {
        let text = name.to_string_lossy();
        let package_fact = ["CARGO_PKG_", "CARGO_BIN_", "CARGO_MANIFEST_"].iter().any(|start| text.starts_with(start));
        if package_fact || ["CARGO_CRATE_NAME", "CARGO_PRIMARY_PACKAGE", "LD_LIBRARY_PATH"].contains(&&*text) {
            command.env_remove(name);
        }
    }
    command
}

/// The command as a person would type it.
pub fn words(command: &Command) -> String {
    let program = Path::new(command.get_program());
    let program = program.file_stem().unwrap_or(command.get_program()).to_string_lossy().into_owned();
    let mut words = vec![program];
    words.extend(command.get_args().map(|word| word.to_string_lossy().into_owned()));
    words.join(" ")
}

/// Runs a command whose output the person sees.
pub fn run(command: &mut Command) -> Done {
    let words = words(command);
    say(&words);
    let started = Instant::now();
    let status = command.status().map_err(|error| format!("could not start `{words}`: {error}"))?;
    if started.elapsed() > WORTH_TELLING {
        say(&format!("that took {} s", started.elapsed().as_secs()));
    }
    if status.success() { Ok(()) } else { Err(format!("`{words}` failed ({status})")) }
}

/// Runs a command whose output is shown only where it fails.
pub fn run_quietly(command: &mut Command) -> Done {
    let words = words(command);
    let output = command.stdin(Stdio::null()).output();
    let output = output.map_err(|error| format!("could not start `{words}`: {error}"))?;
    if output.status.success() {
        return Ok(());
    }
    print!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    Err(format!("`{words}` failed ({})", output.status))
}

/// Tries one way after another until one succeeds. Where none does, the first says why: it is the one that was meant.
pub fn first<Way>(ways: &[Way], mut run: impl FnMut(&Way) -> Done) -> Done {
    let mut why = Ok(());
    for way in ways {
        match run(way) {
            Ok(()) => return Ok(()),
            Err(error) => {
                say(&error);
                why = why.and(Err(error));
            }
        }
    }
    why
}

/// What a command prints, or nothing where it cannot be started or fails.
pub fn answer(command: &mut Command) -> Option<String> {
    let Output { status, stdout, .. } = command.stdin(Stdio::null()).stderr(Stdio::null()).output().ok()?;
    status.success().then(|| String::from_utf8_lossy(&stdout).into_owned())
}

/// Runs a command silently for at most `limit`, then ends it; true where it succeeded in that time.
pub fn succeeds_within(command: &mut Command, limit: Duration) -> bool {
    let started = Instant::now();
    let Ok(mut child) = command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn() else {
        return false;
    };
    while started.elapsed() < limit {
        match child.try_wait() {
            Ok(Some(status)) => return status.success(),
            Ok(None) => std::thread::sleep(Duration::from_millis(50)),
            Err(_) => break,
        }
    }
    let _ = child.kill();
    let _ = child.wait();
    false
}

/// How many tests passed and failed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Count {
    /// Tests that passed.
    pub passed: u64,
    /// Tests that failed.
    pub failed: u64,
}

impl Count {
    /// Both counts together.
    pub fn and(self, other: Count) -> Count {
        Count { passed: self.passed + other.passed, failed: self.failed + other.failed }
    }

    /// Reads one line of output: cargo's `test result: ok. 3 passed; 0 failed; ...`, or `3 passed, 0 failed`.
    pub fn read(line: &str) -> Option<Count> {
        let line = plain(line);
        let line = line.trim();
        let counts = match line.strip_prefix("test result:") {
            Some(rest) => rest.split_once(". ")?.1.replace(';', ","),
            None => line.to_owned(),
        };
        let mut parts = counts.split(',');
        let mut number = |word: &str| parts.next()?.trim().strip_suffix(word)?.trim().parse().ok();
        Some(Count { passed: number("passed")?, failed: number("failed")? })
    }
}

impl std::fmt::Display for Count {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{} passed, {} failed", self.passed, self.failed)
    }
}

/// `text` without the escape sequences that colour a terminal.
fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('\u{1b}') {
        plain.push_str(before);
        rest = after.find('m').and_then(|end| after.get(end + 1..)).unwrap_or("");
    }
    plain + rest
}

/// Runs a test command, shows its output as it comes, and counts the tests in it. A run of no test is a failure.
pub fn run_counting(command: &mut Command) -> Done<Count> {
    let words = words(command);
    say(&words);
    if std::io::stdout().is_terminal() {
        command.env("CARGO_TERM_COLOR", "always");
    }
    let child = command.stdout(Stdio::piped()).spawn();
    let mut child = child.map_err(|error| format!("could not start `{words}`: {error}"))?;
    let mut count = Count::default();
    if let Some(output) = child.stdout.take() {
        for line in BufReader::new(output).split(b'\n') {
            let Ok(line) = line else { break };
            let line = String::from_utf8_lossy(&line);
            println!("{line}");
            count = count.and(Count::read(&line).unwrap_or_default());
        }
    }
    let status = child.wait().map_err(|error| format!("could not wait for `{words}`: {error}"))?;
    match (status.success(), count) {
        (false, _) => Err(format!("`{words}` failed ({status}; {count})")),
        (true, Count { passed: 0, .. }) => Err(format!("`{words}` ran no test")),
        (true, Count { failed: 0, .. }) => Ok(count),
        (true, _) => Err(format!("`{words}` said it succeeded, yet {count}")),
    }
}

/// Looks a program up in the folders of PATH.
pub fn find(name: &str) -> Option<PathBuf> {
    let paths = std::env::var_os("PATH")?;
    std::env::split_paths(&paths).find_map(|folder| find_in(&folder, name))
}

/// The program `name` in one folder, where it is a file there.
pub fn find_in(folder: &Path, name: &str) -> Option<PathBuf> {
    let path = folder.join(format!("{name}{}", std::env::consts::EXE_SUFFIX));
    path.is_file().then_some(path)
}

/// An environment variable, where it is set and not empty.
pub fn variable(name: &str) -> Option<String> {
    std::env::var(name).ok().filter(|value| !value.is_empty())
}

/// Reads a file, or says which one could not be read.
pub fn read(path: &Path) -> Done<String> {
    std::fs::read_to_string(path).map_err(|error| format!("could not read {}: {error}", path.display()))
}

/// Writes a file and the folders above it, or says which one could not be written.
pub fn write(path: &Path, text: &str) -> Done {
    let parent = path.parent().unwrap_or(Path::new("."));
    std::fs::create_dir_all(parent)
        .and_then(|()| std::fs::write(path, text))
        .map_err(|error| format!("could not write {}: {error}", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_way_that_works_is_taken() {
        let mut tried = Vec::new();
        let done = first(&["tested", "newest", "oldest"], |way| {
            tried.push(*way);
            if *way == "newest" { Ok(()) } else { Err(format!("{way} is missing")) }
        });
        assert_eq!((done, tried), (Ok(()), vec!["tested", "newest"]));
    }

    #[test]
    fn where_no_way_works_the_first_says_why() {
        let done = first(&["tested", "newest"], |way| Err(format!("{way} is missing")));
        assert_eq!(done, Err("tested is missing".to_owned()));
    }

    #[test]
    fn counts_what_test_runners_print() {
        let cargo = "test result: ok. 12 passed; 0 failed; 1 ignored; 0 measured; 3 filtered out; finished in 0.05s";
        assert_eq!(Count::read(cargo), Some(Count { passed: 12, failed: 0 }));
        let coloured = "test result: \u{1b}[31mFAILED\u{1b}[0m. 2 passed; 1 failed; 0 ignored; 0 measured";
        assert_eq!(Count::read(coloured), Some(Count { passed: 2, failed: 1 }));
        assert_eq!(Count::read("7 passed, 2 failed"), Some(Count { passed: 7, failed: 2 }));
        assert_eq!(Count::read("test drain::level ... ok"), None);
        assert_eq!(Count::read("3 passed"), None);
        assert_eq!(Count::read(""), None);
    }

    #[test]
    fn adds_counts() {
        let (one, other) = (Count { passed: 2, failed: 1 }, Count { passed: 5, failed: 0 });
        assert_eq!(one.and(other).to_string(), "7 passed, 1 failed");
    }

    #[test]
    fn shows_a_command_without_its_folder() {
        let mut command = Command::new("some/folder/tool");
        command.args(["--port", "7"]);
        assert_eq!(words(&command), "tool --port 7");
    }

    #[test]
    fn a_command_that_outlives_its_limit_is_ended() {
        let cargo = variable("CARGO").unwrap_or("cargo".to_owned());
        assert!(succeeds_within(Command::new(&cargo).arg("--version"), Duration::from_secs(60)));
        assert!(!succeeds_within(Command::new(&cargo).arg("no-such-command"), Duration::from_secs(60)));
        assert!(!succeeds_within(Command::new(&cargo).arg("--version"), Duration::ZERO));
    }
}
