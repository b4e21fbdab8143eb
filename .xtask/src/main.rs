//! Set-up, start and test of the project on a bare machine: `cargo xtask start`, `cargo xtask test`, and their parts.

mod checks;
mod glue;
mod html;
mod linked;
mod machine;
mod offline;
mod onefile;
mod order;
mod project;
mod serve;
mod sha256;
mod shell;
mod size;
mod split;
mod tools;
mod version;
mod wasm;
mod web;

use checks::Group;
use project::Project;
use serve::Site;
use shell::{Done, say};
use std::process::ExitCode;

const HELP: &str = "\
cargo xtask start [--port N] [--prefix /a/b/]   build the app, serve it on this machine, print its address
cargo xtask test [GROUP...] [-- FILTER...]      run every test, or the groups native, browser, e2e
cargo xtask check                               formatting, lints and documentation, warnings denied
cargo xtask build                               build the site into target/dist
cargo xtask onefile                             build the whole app as one file, target/brimwise.html
cargo xtask size                                what a first visit fetches, against the budget
cargo xtask bench [browser] [FILTER...]         timings of the core, natively or in a browser
cargo xtask shots [ROUTE...]                    pictures of the screens into target/shots
cargo xtask vitals [ROUTE]                      paint and layout shift of a first visit on a slow phone
cargo xtask icons                               draw the icons anew from their drawings
cargo xtask serve [--port N] [--prefix /a/b/] [--gzip] [--with-parent]
                                                serve target/dist as it is

Each installs what it misses: tools into target/tools, or where BRIMWISE_TOOLS says; Debian's packages where the
machine is Debian's and allows it. BRIMWISE_WASM=toolchain or =debian chooses how Rust is compiled for the browser,
BRIMWISE_WEB_TARGET where, BRIMWISE_CHROME and CHROMEDRIVER which browser is driven.";

/// The port of `start`, where none is asked for.
const PORT: u16 = 8080;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match dispatch(&arguments) {
        Ok(()) => ExitCode::SUCCESS,
        Err(fault) => {
            eprintln!("xtask: {fault}");
            ExitCode::FAILURE
        }
    }
}

fn dispatch(arguments: &[String]) -> Done {
    let Some((name, rest)) = arguments.split_first() else {
        println!("{HELP}");
        return Ok(());
    };
    let project = Project::here()?;
    match name.as_str() {
        "start" => start(&project, &Serving::read(rest)?),
        "serve" => serve(&project, &Serving::read(rest)?),
        "build" => none(rest).and_then(|()| web::build(&project)),
        "size" => none(rest).and_then(|()| web::build(&project)).and_then(|()| size::report(&project)),
        "check" => none(rest).and_then(|()| checks::check(&project)),
        "test" => {
            let (groups, filters) = test_arguments(rest)?;
            checks::test(&project, &groups, filters)
        }
        "bench" => checks::bench(&project, rest),
        "onefile" => none(rest).and_then(|()| onefile::build(&project)),
        "icons" => none(rest).and_then(|()| shell::run(&mut checks::end_to_end(&project, "icons.mjs")?)),
        "shots" | "vitals" => {
            web::build(&project)?;
            shell::run(checks::end_to_end(&project, &format!("{name}.mjs"))?.args(rest))
        }
        "help" | "--help" | "-h" => {
            println!("{HELP}");
            Ok(())
        }
        other => Err(format!("there is no `{other}`; `cargo xtask help` lists what there is")),
    }
}

/// How to serve.
#[derive(Debug, Default, PartialEq, Eq)]
struct Serving {
    port: Option<u16>,
    prefix: String,
    gzip: bool,
    with_parent: bool,
}

impl Serving {
    fn read(arguments: &[String]) -> Done<Serving> {
        let mut serving = Serving::default();
        let mut rest = arguments.iter();
        while let Some(argument) = rest.next() {
            let mut value = || rest.next().ok_or(format!("{argument} needs a value"));
            match argument.as_str() {
                "--port" => {
                    let text = value()?;
                    let port = text.parse().map_err(|_| format!("--port is `{text}`; it may be 0 to 65535"))?;
                    serving.port = Some(port);
                }
                "--prefix" => serving.prefix = value()?.clone(),
                "--gzip" => serving.gzip = true,
                "--with-parent" => serving.with_parent = true,
                other => return Err(format!("unknown option `{other}`; `cargo xtask help` lists what there is")),
            }
        }
        Ok(serving)
    }
}

fn start(project: &Project, serving: &Serving) -> Done {
    web::build(project)?;
    serve(project, serving)
}

fn serve(project: &Project, serving: &Serving) -> Done {
    if serving.with_parent {
        serve::end_with_parent();
    }
    let compressed = serving.gzip.then(|| project.compressed());
    let site = Site::new(project.dist(), &serving.prefix, compressed)?;
    let tell = |address: &str| say(&format!("serving at {address} (Ctrl+C ends it)"));
    site.serve(serving.port.unwrap_or(PORT), tell)
}

/// Splits `native e2e -- filter` into groups and filters; no group means all of them.
fn test_arguments(arguments: &[String]) -> Done<(Vec<Group>, &[String])> {
    let split = arguments.iter().position(|argument| argument == "--").unwrap_or(arguments.len());
    let (names, filters) = arguments.split_at(split);
    let group = |name: &String| {
        let found = Group::ALL.into_iter().find(|group| group.name() == name);
        found.ok_or(format!("there is no group of tests `{name}`; there are native, browser and e2e"))
    };
    let groups: Vec<Group> = names.iter().map(group).collect::<Done<_>>()?;
    Ok((if groups.is_empty() { Group::ALL.to_vec() } else { groups }, filters.get(1..).unwrap_or(&[])))
}

fn none(arguments: &[String]) -> Done {
    arguments.first().map_or(Ok(()), |argument| Err(format!("`{argument}` is not understood here")))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn list(text: &str) -> Vec<String> {
        text.split_whitespace().map(str::to_owned).collect()
    }

    #[test]
    fn reads_how_to_serve() {
        let expected = Serving { port: Some(9000), prefix: "/a/b/".to_owned(), gzip: true, with_parent: false };
        assert_eq!(Serving::read(&list("--gzip --port 9000 --prefix /a/b/")), Ok(expected));
        assert_eq!(Serving::read(&[]), Ok(Serving::default()));
        for bad in ["--port", "--port many", "--port 70000", "--what"] {
            assert!(Serving::read(&list(bad)).is_err(), "{bad}");
        }
    }

    #[test]
    fn reads_which_tests_to_run() {
        assert_eq!(test_arguments(&[]), Ok((Group::ALL.to_vec(), [].as_slice())));
        let words = list("e2e native -- drain --nocapture");
        assert_eq!(test_arguments(&words), Ok((vec![Group::EndToEnd, Group::Native], &words[3..])));
        assert!(test_arguments(&list("none")).is_err());
    }

    #[test]
    fn help_names_every_group() {
        for group in Group::ALL {
            assert!(HELP.contains(group.name()));
        }
    }
}
