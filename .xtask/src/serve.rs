//! A small server of static files on this machine: the built site, under any path, with a strict policy.

use crate::html;
use crate::shell::{self, Done};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// The longest head of a request that is read.
const LONGEST_HEAD: u64 = 16 * 1024;
/// How long a connection may be silent.
const PATIENCE: Duration = Duration::from_secs(60);

/// What is served, and how.
#[derive(Clone, Debug)]
pub struct Site {
    /// The folder of files.
    pub folder: PathBuf,
    /// The path under which the folder appears; begins and ends with `/`.
    pub prefix: String,
    /// The same files compressed, each with `.gz` added to its name; sent to whoever accepts that.
    pub compressed: Option<PathBuf>,
    /// The content-security policy sent with every answer.
    pub policy: String,
}

impl Site {
    /// A site of `folder` under `prefix`, with the policy of its own index page.
    pub fn new(folder: PathBuf, prefix: &str, compressed: Option<PathBuf>) -> Done<Site> {
        let page = shell::read(&folder.join("index.html"))?;
        let policy =
            html::policy(&html::tags(&page)).ok_or("index.html carries no content-security policy")?.to_owned();
        Ok(Site { folder, prefix: normal_prefix(prefix)?, compressed, policy })
    }

    /// Opens `port`, or one that is free where it is 0, and says the address through `ready`. Serves until ended.
    pub fn serve(self, port: u16, ready: impl FnOnce(&str)) -> Done {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))
            .map_err(|error| format!("port {port} cannot be opened ({error}); choose another with --port"))?;
        let address = listener.local_addr().map_err(|error| format!("the port has no address: {error}"))?;
        ready(&format!("http://{address}{}", self.prefix));
        for stream in listener.incoming().flatten() {
            let site = self.clone();
            std::thread::spawn(move || {
                let _ = site.talk(&stream);
            });
        }
        Ok(())
    }

    /// Answers the requests of one connection, one after the other.
    fn talk(&self, stream: &TcpStream) -> std::io::Result<()> {
        stream.set_read_timeout(Some(PATIENCE))?;
        stream.set_nodelay(true)?;
        let mut reader = BufReader::new(stream);
        while let Some(head) = read_head(&mut reader)? {
            let request = Request::read(&head);
            let answer = self.answer(&request);
            let mut out = answer.head(&self.policy, request.close).into_bytes();
            if request.method != "HEAD" {
                out.extend(&answer.body);
            }
            let mut stream = stream;
            stream.write_all(&out)?;
            if request.close {
                break;
            }
        }
        Ok(())
    }

    fn answer(&self, request: &Request) -> Answer {
        if request.method != "GET" && request.method != "HEAD" {
            return Answer::words(405, "Method Not Allowed");
        }
        let path = request.target.split(['?', '#']).next().unwrap_or("");
        let Some(inside) = path.strip_prefix(&self.prefix) else { return Answer::words(404, "Not Found") };
        let Some(relative) = safe_path(inside) else { return Answer::words(400, "Bad Request") };
        let Some(file) = existing(&self.folder, &relative) else { return Answer::words(404, "Not Found") };
        let kind = content_type(&file);
        if request.gzip
            && let Some(compressed) = &self.compressed
            && let Ok(name) = file.strip_prefix(&self.folder)
            && let Ok(body) = std::fs::read(compressed.join(format!("{}.gz", name.display())))
        {
            return Answer { status: 200, words: "OK", kind, gzip: true, body };
        }
        match std::fs::read(&file) {
            Ok(body) => Answer { status: 200, words: "OK", kind, gzip: false, body },
            Err(_) => Answer::words(404, "Not Found"),
        }
    }
}

/// Ends this process as soon as whoever started it is gone, which closes the standard input.
pub fn end_with_parent() {
    std::thread::spawn(|| {
        let _ = std::io::copy(&mut std::io::stdin(), &mut std::io::sink());
        std::process::exit(0);
    });
}

/// The lines up to the empty one; nothing where the other side has closed.
fn read_head(reader: &mut impl BufRead) -> std::io::Result<Option<String>> {
    let mut reader = reader.take(LONGEST_HEAD);
    let mut head = String::new();
    loop {
        let mut line = Vec::new();
        if reader.read_until(b'\n', &mut line)? == 0 {
            return Ok(None);
        }
        let line = String::from_utf8_lossy(&line);
        if line.trim_end().is_empty() {
            return Ok(Some(head));
        }
        head.push_str(&line);
    }
}

/// What a request asks for.
#[derive(Debug, PartialEq, Eq)]
struct Request {
    method: String,
    target: String,
    /// Compressed answers are welcome.
    gzip: bool,
    /// The connection ends after this answer.
    close: bool,
}

impl Request {
    fn read(head: &str) -> Request {
        let mut lines = head.lines();
        let mut first = lines.next().unwrap_or("").split_whitespace();
        let (method, target) = (first.next().unwrap_or(""), first.next().unwrap_or(""));
        let old = first.next() != Some("HTTP/1.1");
        let mut request = Request { method: method.to_owned(), target: target.to_owned(), gzip: false, close: old };
        for line in lines {
            let Some((name, value)) = line.split_once(':') else { continue };
            let has = |word: &str| value.split([',', ';']).any(|part| part.trim().eq_ignore_ascii_case(word));
            match name.trim().to_ascii_lowercase().as_str() {
                "accept-encoding" => request.gzip = has("gzip"),
                "connection" => request.close |= has("close"),
                // A body is not read, so what follows it could not be told from the next request.
                "content-length" | "transfer-encoding" => request.close = true,
                _ => {}
            }
        }
        request
    }
}

struct Answer {
    status: u16,
    words: &'static str,
    kind: &'static str,
    gzip: bool,
    body: Vec<u8>,
}

impl Answer {
    fn words(status: u16, words: &'static str) -> Answer {
        let body = format!("{status} {words}\n").into_bytes();
        Answer { status, words, kind: "text/plain; charset=utf-8", gzip: false, body }
    }

    fn head(&self, policy: &str, close: bool) -> String {
        let mut head = format!("HTTP/1.1 {} {}\r\n", self.status, self.words);
        let length = self.body.len().to_string();
        let lines = [
            ("Content-Type", self.kind),
            ("Content-Length", &length),
            ("Cache-Control", "no-cache"),
            ("Vary", "Accept-Encoding"),
            ("Content-Security-Policy", policy),
            ("Referrer-Policy", "no-referrer"),
            ("X-Content-Type-Options", "nosniff"),
            ("Connection", if close { "close" } else { "keep-alive" }),
        ];
        for (name, value) in lines {
            head += &format!("{name}: {value}\r\n");
        }
        if self.gzip {
            head += "Content-Encoding: gzip\r\n";
        }
        head + "\r\n"
    }
}

/// A prefix with a slash at both ends.
fn normal_prefix(prefix: &str) -> Done<String> {
    let inner = prefix.trim_matches('/');
    let fine = |c: char| c.is_ascii_alphanumeric() || "-_.~/".contains(c);
    if !inner.chars().all(fine) || inner.split('/').any(|part| part == "..") || inner.contains("//") {
        return Err(format!("--prefix is `{prefix}`; it may hold names of letters, digits and -_.~ between slashes"));
    }
    Ok(if inner.is_empty() { "/".to_owned() } else { format!("/{inner}/") })
}

/// The file that a path of an address means, relative to the folder served; nothing where the path tries to leave it.
fn safe_path(path: &str) -> Option<PathBuf> {
    let decoded = decode(path)?;
    let mut safe = PathBuf::new();
    for part in decoded.split('/') {
        // A colon could name a drive, a backslash a folder, on systems that have those.
        if part == ".." || part.contains(['\\', ':', '\0']) {
            return None;
        }
        if !part.is_empty() && part != "." {
            safe.push(part);
        }
    }
    Some(safe)
}

/// The file itself, or the index page of a folder; nothing where it lies outside, even through a link.
fn existing(folder: &Path, relative: &Path) -> Option<PathBuf> {
    let mut file = folder.join(relative);
    if file.is_dir() {
        file.push("index.html");
    }
    let (inside, folder) = (file.canonicalize().ok()?, folder.canonicalize().ok()?);
    (inside.is_file() && inside.starts_with(folder)).then_some(file)
}

/// Undoes the `%2F` writing of an address.
fn decode(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        if byte == b'%' {
            let digit = |byte: u8| char::from(byte).to_digit(16);
            let value = digit(rest.next()?)? * 16 + digit(rest.next()?)?;
            bytes.push(u8::try_from(value).ok()?);
        } else {
            bytes.push(byte);
        }
    }
    String::from_utf8(bytes).ok()
}

/// The media type that a browser needs to be told for a file.
fn content_type(file: &Path) -> &'static str {
    match file.extension().and_then(|extension| extension.to_str()).unwrap_or("") {
        "html" => "text/html; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "wasm" => "application/wasm",
        "css" => "text/css; charset=utf-8",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "ico" => "image/x-icon",
        "woff2" => "font/woff2",
        "txt" | "md" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A site of its own for each test, in the folder that cargo keeps for such things, or the system's.
    fn site(name: &str) -> Site {
        let folder = std::env::temp_dir().join(format!("xtask-{}-{name}", std::process::id()));
        let dist = folder.join("dist");
        let page = "<meta http-equiv=content-security-policy content=\"default-src 'self'\"><p>hello";
        for (file, text) in [("dist/index.html", page), ("dist/a/app.wasm", "wasm"), ("secret.txt", "secret")] {
            shell::write(&folder.join(file), text).unwrap();
        }
        shell::write(&folder.join("gz/a/app.wasm.gz"), "squeezed").unwrap();
        Site::new(dist, "/x/y", Some(folder.join("gz"))).unwrap()
    }

    fn ask(site: &Site, head: &str) -> (u16, String) {
        let answer = site.answer(&Request::read(head));
        (answer.status, String::from_utf8_lossy(&answer.body).into_owned())
    }

    #[test]
    fn media_types() {
        for (file, kind) in [
            ("app_bg.wasm", "application/wasm"),
            ("app.js", "text/javascript; charset=utf-8"),
            ("style.css", "text/css; charset=utf-8"),
            ("index.html", "text/html; charset=utf-8"),
            ("site.webmanifest", "application/manifest+json"),
            ("icon.png", "image/png"),
            ("mark.svg", "image/svg+xml"),
            ("unknown.thing", "application/octet-stream"),
            ("noextension", "application/octet-stream"),
        ] {
            assert_eq!(content_type(Path::new(file)), kind, "{file}");
        }
    }

    #[test]
    fn paths_that_try_to_leave_are_refused() {
        for path in [
            "../secret",
            "a/../../secret",
            "%2e%2e/secret",
            "a/%2E%2E/%2e%2e/x",
            "..\\x",
            "c:/x",
            "a%00b",
            "%",
            "%zz",
            "%ff",
        ] {
            assert_eq!(safe_path(path), None, "{path}");
        }
        assert_eq!(safe_path("a/./b//c.js"), Some(PathBuf::from("a/b/c.js")));
        assert_eq!(safe_path("/etc/passwd"), Some(PathBuf::from("etc/passwd")));
        assert_eq!(safe_path("a%20b"), Some(PathBuf::from("a b")));
        assert_eq!(safe_path("..."), Some(PathBuf::from("...")));
    }

    #[test]
    fn serves_under_its_prefix_only() {
        let site = site("prefix");
        assert_eq!(ask(&site, "GET /x/y/ HTTP/1.1\r\n").0, 200);
        assert_eq!(ask(&site, "GET /x/y/?a=1 HTTP/1.1\r\n").0, 200);
        assert_eq!(ask(&site, "GET /x/y/a/app.wasm HTTP/1.1\r\n"), (200, "wasm".to_owned()));
        assert_eq!(ask(&site, "GET / HTTP/1.1\r\n").0, 404);
        assert_eq!(ask(&site, "GET /x/y/none HTTP/1.1\r\n").0, 404);
        assert_eq!(ask(&site, "GET /x/y/../../secret.txt HTTP/1.1\r\n").0, 400);
        assert_eq!(ask(&site, "GET /x/y/%2e%2e/secret.txt HTTP/1.1\r\n").0, 400);
        assert_eq!(ask(&site, "POST /x/y/ HTTP/1.1\r\n").0, 405);
        assert_eq!(ask(&site, "").0, 405);
    }

    #[cfg(unix)]
    #[test]
    fn links_that_lead_out_are_refused() {
        let site = site("links");
        std::os::unix::fs::symlink("../secret.txt", site.folder.join("link.txt")).unwrap();
        assert_eq!(ask(&site, "GET /x/y/link.txt HTTP/1.1\r\n").0, 404);
    }

    #[test]
    fn compresses_for_those_who_accept_it() {
        let site = site("gzip");
        let accepting = "GET /x/y/a/app.wasm HTTP/1.1\r\nAccept-Encoding: br, gzip;q=0.5\r\n";
        assert_eq!(ask(&site, accepting), (200, "squeezed".to_owned()));
        let page = "GET /x/y/ HTTP/1.1\r\nAccept-Encoding: gzip\r\n";
        assert!(ask(&site, page).1.contains("hello"), "a file that was not compressed is sent as it is");
    }

    #[test]
    fn sends_the_policy_of_the_page() {
        let site = site("policy");
        let head = site.answer(&Request::read("GET /x/y/a/app.wasm HTTP/1.1\r\n")).head(&site.policy, false);
        assert!(head.contains("\r\nContent-Security-Policy: default-src 'self'\r\n"), "{head}");
        assert!(head.contains("\r\nContent-Type: application/wasm\r\n"), "{head}");
        assert!(head.contains("\r\nContent-Length: 4\r\n"), "{head}");
        assert!(head.ends_with("\r\n\r\n"));
    }

    #[test]
    fn prefixes() {
        assert_eq!(normal_prefix("a/b"), Ok("/a/b/".to_owned()));
        assert_eq!(normal_prefix("/"), Ok("/".to_owned()));
        assert_eq!(normal_prefix(""), Ok("/".to_owned()));
        for bad in ["/a b/", "/../", "/a//b/", "/a?b/"] {
            assert!(normal_prefix(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn keeps_a_connection_only_where_it_can() {
        assert!(!Request::read("GET / HTTP/1.1\r\n").close);
        assert!(Request::read("GET / HTTP/1.0\r\n").close);
        assert!(Request::read("GET / HTTP/1.1\r\nConnection: close\r\n").close);
        assert!(Request::read("POST / HTTP/1.1\r\nContent-Length: 3\r\n").close);
    }

    #[test]
    fn answers_over_a_real_connection() {
        let site = site("socket");
        let (sender, receiver) = std::sync::mpsc::channel();
        std::thread::spawn(move || site.serve(0, |address| sender.send(address.to_owned()).unwrap()));
        let address = receiver.recv().unwrap();
        let host = address.trim_start_matches("http://").split('/').next().unwrap();
        let mut stream = TcpStream::connect(host).unwrap();
        write!(
            stream,
            "GET /x/y/a/app.wasm HTTP/1.1\r\n\r\nHEAD /x/y/a/app.wasm HTTP/1.1\r\nConnection: close\r\n\r\n"
        )
        .unwrap();
        let mut all = String::new();
        stream.read_to_string(&mut all).unwrap();
        assert_eq!(all.matches("HTTP/1.1 200 OK\r\n").count(), 2, "{all}");
        assert_eq!(all.matches("\r\n\r\nwasm").count(), 1, "the second answer has no body: {all}");
    }
}
