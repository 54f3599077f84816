//! From a request to the file that answers it. No sockets here, so that every
//! rule (types, packed copies, addresses that lead outside) is tested plainly.

use crate::headers;
use std::path::{Path, PathBuf};

/// What a browser asked for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Request {
    /// `GET`, `HEAD`, `POST`.
    pub method: String,
    /// The address without what follows the question mark.
    pub path: String,
    /// What follows it.
    pub query: String,
    /// The packings the browser knows.
    pub accepts: String,
    /// How many bytes follow the head.
    pub body: usize,
    /// Whether the connection is closed after the answer.
    pub close: bool,
}

/// What it gets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// The status line's number and words.
    pub status: &'static str,
    /// Headers besides the security ones.
    pub headers: Vec<(&'static str, String)>,
    /// The contents.
    pub body: Vec<u8>,
}

/// Reads the head of a request.
pub fn parse(head: &str) -> Option<Request> {
    let mut lines = head.split("\r\n");
    let mut words = lines.next()?.split(' ');
    let (method, target, version) = (words.next()?, words.next()?, words.next()?);
    let (path, query) = target.split_once('?').unwrap_or((target, ""));
    let mut request = Request {
        method: method.to_owned(),
        path: decode(path)?,
        query: query.to_owned(),
        close: version == "HTTP/1.0",
        ..Request::default()
    };
    for line in lines.filter(|line| !line.is_empty()) {
        let (name, value) = line.split_once(':')?;
        match name.to_ascii_lowercase().as_str() {
            "accept-encoding" => request.accepts = value.trim().to_ascii_lowercase(),
            "content-length" => request.body = value.trim().parse().ok()?,
            "connection" => request.close |= value.trim().eq_ignore_ascii_case("close"),
            _ => {}
        }
    }
    Some(request)
}

/// Finds the answer among the files of the site.
pub fn answer(site: &Path, request: &Request) -> Answer {
    match request.method.as_str() {
        "GET" | "HEAD" => {}
        // The service worker takes what is shared; without it there is nothing to keep it.
        "POST" if request.path == "/share" => return redirect("/read"),
        _ => return plain("405 Method Not Allowed", "Only files are served here.\n"),
    }
    let Some((address, file)) = locate(site, &request.path) else {
        return plain("404 Not Found", "There is no such file.\n");
    };
    let (bytes, packing) = match best_copy(&file, &request.accepts) {
        Ok(found) => found,
        Err(_) => return plain("404 Not Found", "There is no such file.\n"),
    };
    let mut headers = vec![
        ("Content-Type", headers::kind(&address).to_owned()),
        ("Cache-Control", headers::keep(&address).to_owned()),
        ("Vary", "Accept-Encoding".to_owned()),
    ];
    if let Some(packing) = packing {
        headers.push(("Content-Encoding", packing.to_owned()));
    }
    Answer {
        status: "200 OK",
        headers,
        body: bytes,
    }
}

/// The file for an address. Addresses inside the app, which have no ending,
/// all get the page; the app finds its way from there.
fn locate(site: &Path, path: &str) -> Option<(String, PathBuf)> {
    let parts: Vec<&str> = path.split('/').filter(|p| !p.is_empty()).collect();
    let outside = |part: &&str| {
        *part == ".." || *part == "." || part.contains(['\\', '\0']) || part.contains(':')
    };
    if !path.starts_with('/') || parts.iter().any(outside) {
        return None;
    }
    let file = parts
        .iter()
        .fold(site.to_path_buf(), |at, part| at.join(part));
    if file.is_file() && !parts.last().is_some_and(|last| last.starts_with('_')) {
        return Some((format!("/{}", parts.join("/")), file));
    }
    let in_app = parts.last().is_none_or(|last| !last.contains('.'));
    in_app.then(|| ("/index.html".to_owned(), site.join("index.html")))
}

fn best_copy(file: &Path, accepts: &str) -> std::io::Result<(Vec<u8>, Option<&'static str>)> {
    for (packing, ending) in [("br", "br"), ("gzip", "gz")] {
        let mut name = file.as_os_str().to_owned();
        name.push(".");
        name.push(ending);
        if accepted(accepts, packing)
            && let Ok(bytes) = std::fs::read(PathBuf::from(name))
        {
            return Ok((bytes, Some(packing)));
        }
    }
    Ok((std::fs::read(file)?, None))
}

/// Whether a packing is in the list and not refused with `q=0`.
fn accepted(list: &str, packing: &str) -> bool {
    list.split(',').any(|item| {
        let mut parts = item.split(';').map(str::trim);
        let named = parts.next() == Some(packing);
        let refused = parts
            .filter_map(|p| p.strip_prefix("q="))
            .any(|q| q.parse() == Ok(0.0));
        named && !refused
    })
}

/// Resolves `%20` and the like; nothing when it isn't well formed.
fn decode(path: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(path.len());
    let mut rest = path.bytes();
    while let Some(byte) = rest.next() {
        if byte != b'%' {
            bytes.push(byte);
            continue;
        }
        let high = char::from(rest.next()?).to_digit(16)?;
        let low = char::from(rest.next()?).to_digit(16)?;
        bytes.push(u8::try_from(high * 16 + low).ok()?);
    }
    String::from_utf8(bytes).ok()
}

fn redirect(to: &str) -> Answer {
    Answer {
        status: "303 See Other",
        headers: vec![("Location", to.to_owned())],
        body: Vec::new(),
    }
}

fn plain(status: &'static str, text: &str) -> Answer {
    let headers = vec![
        ("Content-Type", headers::kind(".txt").to_owned()),
        ("Cache-Control", "no-cache".to_owned()),
    ];
    Answer {
        status,
        headers,
        body: text.as_bytes().to_vec(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn site() -> tempfile::TempDir {
        let dir = tempfile::tempdir().unwrap();
        std::fs::create_dir_all(dir.path().join("site/assets")).unwrap();
        std::fs::write(dir.path().join("secret.txt"), "secret").unwrap();
        for (name, text) in [
            ("index.html", "page"),
            ("_headers", "headers"),
            ("assets/app.1.wasm", "raw"),
            ("assets/app.1.wasm.br", "brotli"),
            ("assets/app.1.wasm.gz", "gzip"),
        ] {
            std::fs::write(dir.path().join("site").join(name), text).unwrap();
        }
        dir
    }

    fn get(target: &str, accepts: &str) -> Answer {
        let dir = site();
        let head =
            format!("GET {target} HTTP/1.1\r\nHost: x\r\nAccept-Encoding: {accepts}\r\n\r\n");
        match parse(&head) {
            Some(request) => answer(&dir.path().join("site"), &request),
            None => plain("400 Bad Request", ""),
        }
    }

    fn header(answer: &Answer, name: &str) -> Option<String> {
        answer
            .headers
            .iter()
            .find(|(n, _)| *n == name)
            .map(|(_, v)| v.clone())
    }

    #[test]
    fn the_best_packing_the_browser_knows_is_sent() {
        for (accepts, body, packing) in [
            ("gzip, deflate, br", "brotli", Some("br")),
            ("gzip", "gzip", Some("gzip")),
            ("br;q=0, gzip;q=0.5", "gzip", Some("gzip")),
            ("", "raw", None),
            ("brx", "raw", None),
        ] {
            let answer = get("/assets/app.1.wasm", accepts);
            assert_eq!(answer.body, body.as_bytes(), "{accepts}");
            assert_eq!(
                header(&answer, "Content-Encoding").as_deref(),
                packing,
                "{accepts}"
            );
            assert_eq!(
                header(&answer, "Content-Type").as_deref(),
                Some("application/wasm")
            );
            assert!(
                header(&answer, "Cache-Control")
                    .unwrap()
                    .contains("immutable")
            );
        }
    }

    #[test]
    fn addresses_inside_the_app_get_the_page_and_missing_files_do_not() {
        for target in [
            "/",
            "/read",
            "/books/larkfield-orrery",
            "/read?photo=1",
            "/consoles/",
        ] {
            let answer = get(target, "");
            assert_eq!(
                (answer.status, answer.body.as_slice()),
                ("200 OK", &b"page"[..]),
                "{target}"
            );
            assert_eq!(
                header(&answer, "Cache-Control").as_deref(),
                Some("no-cache")
            );
        }
        assert!(get("/assets/gone.js", "").status.starts_with("404"));
        assert!(get("/_headers", "").body != b"headers");
    }

    #[test]
    fn nothing_outside_the_site_is_ever_sent() {
        for target in [
            "/../secret.txt",
            "/%2e%2e/secret.txt",
            "/assets/..%2f..%2fsecret.txt",
            "/..%5csecret.txt",
            "//../secret.txt",
            "../secret.txt",
            "/./../secret.txt",
            "/%",
            "/%zz",
            "/%ff",
        ] {
            let answer = get(target, "");
            assert_ne!(answer.body, b"secret", "{target}");
            assert!(
                answer.status.starts_with('4'),
                "{target}: {}",
                answer.status
            );
        }
    }

    #[test]
    fn a_share_without_a_worker_leads_to_the_read_place() {
        let request = parse("POST /share HTTP/1.1\r\nContent-Length: 12\r\n\r\n").unwrap();
        assert_eq!(request.body, 12);
        let answer = answer(Path::new("/nowhere"), &request);
        assert_eq!(header(&answer, "Location").as_deref(), Some("/read"));
        let other = Request {
            method: "POST".to_owned(),
            path: "/read".to_owned(),
            ..Request::default()
        };
        assert!(
            super::answer(Path::new("/nowhere"), &other)
                .status
                .starts_with("405")
        );
    }
}
