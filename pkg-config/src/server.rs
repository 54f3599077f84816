//! A small server for files, with the headers a host of the app should send.
//!
//! It is for looking at the app and for the browser tests: a thread for each
//! connection, on this machine only. It can be stopped for good, connections
//! included, because the offline tests must be sure that nothing answers.

use crate::headers::security;
use crate::request::{self, Answer, Request};
use crate::step::problem;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, Shutdown, SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::Duration;

const MOST_HEAD: u64 = 16 * 1024;
const MOST_BODY: usize = 64 * 1024 * 1024;

/// A running server. It stops when dropped.
#[derive(Debug)]
pub struct Server {
    address: SocketAddr,
    shared: Arc<Shared>,
    accepting: Option<JoinHandle<()>>,
}

#[derive(Debug)]
struct Shared {
    site: Mutex<PathBuf>,
    stopped: AtomicBool,
    open: Mutex<Vec<TcpStream>>,
    asked: Mutex<Vec<String>>,
}

impl Server {
    /// Serves a site. Port 0 takes any free port.
    ///
    /// # Errors
    /// When the port is taken or the site isn't there.
    pub fn start(site: &Path, port: u16) -> anyhow::Result<Self> {
        if !site.join("index.html").is_file() {
            return Err(problem(
                format!("there is no built site in {}", site.display()),
                "run `cargo site` first.",
            ));
        }
        let listener =
            TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(|e| taken(port, &e))?;
        let address = listener.local_addr()?;
        let shared = Arc::new(Shared {
            site: Mutex::new(site.to_path_buf()),
            stopped: AtomicBool::new(false),
            open: Mutex::default(),
            asked: Mutex::default(),
        });
        let theirs = Arc::clone(&shared);
        let accepting = std::thread::spawn(move || accept(&listener, &theirs));
        Ok(Self {
            address,
            shared,
            accepting: Some(accepting),
        })
    }

    /// Where it is, such as `http://127.0.0.1:8080`.
    pub fn origin(&self) -> String {
        format!("http://{}", self.address)
    }

    /// The port it listens on.
    pub fn port(&self) -> u16 {
        self.address.port()
    }

    /// Serves another site from now on, as after an update.
    pub fn switch(&self, site: &Path) {
        *lock(&self.shared.site) = site.to_path_buf();
    }

    /// Every request so far, as `GET /path?query`.
    pub fn asked(&self) -> Vec<String> {
        lock(&self.shared.asked).clone()
    }

    /// Stops listening and cuts every connection.
    pub fn stop(&mut self) {
        self.shared.stopped.store(true, Ordering::SeqCst);
        // Wakes the thread that waits for a connection.
        drop(TcpStream::connect(self.address));
        if let Some(thread) = self.accepting.take() {
            drop(thread.join());
        }
        for stream in lock(&self.shared.open).drain(..) {
            drop(stream.shutdown(Shutdown::Both));
        }
    }

    /// Waits until it is stopped from elsewhere; `cargo serve` ends with Ctrl-C.
    pub fn wait(mut self) {
        if let Some(thread) = self.accepting.take() {
            drop(thread.join());
        }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.stop();
    }
}

fn taken(port: u16, error: &std::io::Error) -> anyhow::Error {
    problem(
        format!("port {port} on this machine can't be used: {error}"),
        format!(
            "end the program that uses it, or take another one: cargo serve --port {}",
            port.wrapping_add(1).max(1024)
        ),
    )
}

fn accept(listener: &TcpListener, shared: &Arc<Shared>) {
    for stream in listener.incoming() {
        if shared.stopped.load(Ordering::SeqCst) {
            return;
        }
        let Ok(stream) = stream else { continue };
        let Ok(kept) = stream.try_clone() else {
            continue;
        };
        lock(&shared.open).push(kept);
        let theirs = Arc::clone(shared);
        std::thread::spawn(move || {
            // A browser that closes its side early is nothing to report.
            drop(talk(&stream, &theirs));
            let mine = stream.peer_addr().ok();
            lock(&theirs.open).retain(|other| other.peer_addr().ok() != mine);
            drop(stream.shutdown(Shutdown::Both));
        });
    }
}

fn talk(stream: &TcpStream, shared: &Shared) -> std::io::Result<()> {
    stream.set_read_timeout(Some(Duration::from_secs(120)))?;
    let mut reader = BufReader::new(stream);
    while let Some(head) = read_head(&mut reader)? {
        let Some(request) = request::parse(&head).filter(|r| r.body <= MOST_BODY) else {
            return write!(
                &*stream,
                "HTTP/1.1 400 Bad Request\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"
            );
        };
        std::io::copy(
            &mut (&mut reader).take(request.body as u64),
            &mut std::io::sink(),
        )?;
        lock(&shared.asked).push(noted(&request));
        let site = lock(&shared.site).clone();
        send(stream, &request, &request::answer(&site, &request))?;
        if request.close {
            break;
        }
    }
    Ok(())
}

fn read_head(reader: &mut impl BufRead) -> std::io::Result<Option<String>> {
    let mut head = Vec::new();
    let mut limited = reader.take(MOST_HEAD);
    while !head.ends_with(b"\r\n\r\n") {
        if limited.read_until(b'\n', &mut head)? == 0 {
            return Ok(None);
        }
    }
    Ok(Some(String::from_utf8_lossy(&head).into_owned()))
}

fn send(mut stream: &TcpStream, request: &Request, answer: &Answer) -> std::io::Result<()> {
    let mut head = format!(
        "HTTP/1.1 {}\r\nContent-Length: {}\r\n",
        answer.status,
        answer.body.len()
    );
    for (name, value) in answer.headers.iter().chain(&security()) {
        head.push_str(&format!("{name}: {value}\r\n"));
    }
    head.push_str(if request.close {
        "Connection: close\r\n\r\n"
    } else {
        "\r\n"
    });
    let mut bytes = head.into_bytes();
    if request.method != "HEAD" {
        bytes.extend_from_slice(&answer.body);
    }
    stream.write_all(&bytes)
}

fn noted(request: &Request) -> String {
    let mark = if request.query.is_empty() { "" } else { "?" };
    format!("{} {}{mark}{}", request.method, request.path, request.query)
}

fn lock<T>(mutex: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn site(text: &str) -> tempfile::TempDir {
        let dir = tempfile::tempdir().unwrap();
        std::fs::write(dir.path().join("index.html"), text).unwrap();
        dir
    }

    fn ask(stream: &mut TcpStream, head: &str) -> String {
        stream.write_all(head.as_bytes()).unwrap();
        let mut bytes = [0; 4096];
        let n = stream.read(&mut bytes).unwrap();
        String::from_utf8_lossy(&bytes[..n]).into_owned()
    }

    #[test]
    fn one_connection_answers_again_and_follows_a_switch() {
        let (one, two) = (site("one"), site("two"));
        let server = Server::start(one.path(), 0).unwrap();
        let mut stream = TcpStream::connect(server.address).unwrap();
        let first = ask(&mut stream, "GET / HTTP/1.1\r\n\r\n");
        assert!(
            first.starts_with("HTTP/1.1 200 OK\r\n") && first.ends_with("\r\n\r\none"),
            "{first}"
        );
        assert!(
            first.contains("Content-Security-Policy: default-src 'none'"),
            "{first}"
        );
        server.switch(two.path());
        let head = ask(
            &mut stream,
            "HEAD /read HTTP/1.1\r\nConnection: close\r\n\r\n",
        );
        assert!(
            head.contains("Content-Length: 3") && head.ends_with("\r\n\r\n"),
            "{head}"
        );
        assert_eq!(server.asked(), ["GET /", "HEAD /read"]);
    }

    #[test]
    fn a_stopped_server_answers_nothing_more() {
        let dir = site("page");
        let mut server = Server::start(dir.path(), 0).unwrap();
        let mut stream = TcpStream::connect(server.address).unwrap();
        assert!(ask(&mut stream, "GET / HTTP/1.1\r\n\r\n").contains("200 OK"));
        server.stop();
        assert_eq!(
            stream.read(&mut [0; 16]).unwrap_or(0),
            0,
            "the open connection is cut"
        );
        assert!(TcpStream::connect(server.address).is_err());
    }

    #[test]
    fn a_taken_port_and_a_missing_site_say_what_to_do() {
        let dir = site("page");
        let server = Server::start(dir.path(), 0).unwrap();
        let error = Server::start(dir.path(), server.port()).unwrap_err();
        let text = crate::step::failure(&error);
        assert!(text.contains("cargo serve --port"), "{text}");
        let empty = tempfile::tempdir().unwrap();
        let text = crate::step::failure(&Server::start(empty.path(), 0).unwrap_err());
        assert!(text.contains("cargo site"), "{text}");
    }
}
