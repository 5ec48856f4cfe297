//! `page --serve`: shows the page to phones beside the laptop, and nothing else to nobody else.

use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::sync::Arc;
use std::thread;

use qrcode::QrCode;
use qrcode::render::unicode::Dense1x2;
use tiny_http::{Header, Method, Request, Response, Server};

use crate::outcome::{Answer, Exit, Failure};
use crate::request::Refusal;
use crate::streams::Streams;

/// Phones that are answered at the same time.
const AT_ONCE: usize = 8;

/// Shows the page until somebody ends it; to this machine alone unless `lan`.
pub(super) fn serve(page: &str, lan: bool, streams: &Streams) -> Result<Answer, Failure> {
    let cannot = |error: &dyn std::fmt::Display| {
        Refusal::new(
            format!("the page cannot be shown: {error}"),
            "without `--serve`, `-o kart.html` writes it as a file",
        )
    };
    let at = if lan { own_address() } else { IpAddr::V4(Ipv4Addr::LOCALHOST) };
    let mut secret = [0; 12];
    getrandom::fill(&mut secret).map_err(|error| cannot(&error))?;
    let path: String = std::iter::once('/').chain(secret.map(letter)).collect();
    let server = Server::http(SocketAddr::new(at, 0)).map_err(|error| cannot(&error))?;
    let address = format!("http://{}{path}", server.server_addr());
    streams.show(&format!("{}{address}\n", coded(&address)), Exit::Good);
    streams.talk("Ctrl-C ends it. What comes this way cannot be installed, and lives as long as its tab.\n");
    let (server, page, path) = (Arc::new(server), Arc::<str>::from(page), Arc::<str>::from(path));
    let clerks = (0..AT_ONCE).map(|_| {
        let (server, page, path) = (Arc::clone(&server), Arc::clone(&page), Arc::clone(&path));
        thread::spawn(move || server.incoming_requests().for_each(|request| answer(request, &page, &path)))
    });
    for clerk in clerks.collect::<Vec<_>>() {
        clerk.join().map_err(|_| cannot(&"a thread of it has ended"))?;
    }
    Ok(Answer::new("", Exit::Good))
}

/// For the camera of a phone.
fn coded(address: &str) -> String {
    QrCode::new(address).map_or_else(|_| String::new(), |code| code.render::<Dense1x2>().build() + "\n")
}

/// Without those that look like others.
fn letter(byte: u8) -> char {
    const LETTERS: &[u8; 32] = b"23456789abcdefghjkmnpqrstuvwxyzA";
    char::from(LETTERS[usize::from(byte) % LETTERS.len()])
}

/// The page to whoever knows its path and only reads; a word to everybody else. Whoever is gone by then needs no answer.
fn answer(request: Request, page: &str, path: &str) {
    let (code, type_of, text) = match (request.method(), request.url() == path) {
        (Method::Get | Method::Head, true) => (200, "text/html; charset=utf-8", page),
        (Method::Get | Method::Head, false) => (404, "text/plain", "There is nothing here.\n"),
        _ => (405, "text/plain", "This can only be read.\n"),
    };
    let headers = [
        ("Content-Type", type_of),
        ("Cache-Control", "no-store"),
        ("X-Content-Type-Options", "nosniff"),
        ("Connection", "close"),
    ];
    let mut response = Response::from_string(text).with_status_code(code);
    for (name, value) in headers {
        if let Ok(header) = Header::from_bytes(name, value) {
            response.add_header(header);
        }
    }
    request.respond(response).ok();
}

/// The address of this machine on its network: the one from which it would send to somebody outside. Nothing is sent.
/// The address is one of those kept for examples (RFC 5737).
fn own_address() -> IpAddr {
    let outside = SocketAddr::from(([192, 0, 2, 1], 9));
    let own = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).and_then(|socket| {
        socket.connect(outside)?;
        socket.local_addr()
    });
    own.map_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED), |address| address.ip())
}
