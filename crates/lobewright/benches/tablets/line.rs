//! A browser's line to the app: one connection that stays open, with its cookie and the token of its
//! forms.

use records::Sha;
use std::io::{self, BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::time::Duration;

/// Longer than anything takes: a line that says nothing for so long is a mistake.
const PATIENCE: Duration = Duration::from_secs(120);

/// An answer.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) body: Vec<u8>,
}

impl Answer {
    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    /// Whether it is what was asked for, or leads there.
    pub(crate) fn is_good(&self) -> bool {
        (200..400).contains(&self.status)
    }
}

pub(crate) struct Line {
    address: String,
    token: String,
    stream: Option<BufReader<TcpStream>>,
}

impl Line {
    pub(crate) fn new(address: &str, token: &str) -> Self {
        Self { address: address.to_owned(), token: token.to_owned(), stream: None }
    }

    /// Asks for a page.
    pub(crate) fn get(&mut self, path: &str) -> io::Result<Answer> {
        let request = self.head("GET", path, "text/html");
        self.asked(format!("{request}\r\n").as_bytes())
    }

    /// Sends a form; JSON comes back where it is wanted.
    pub(crate) fn send(
        &mut self,
        path: &str,
        accept: &str,
        fields: &[(&str, &str)],
    ) -> io::Result<Answer> {
        let form_token = Sha::of(format!("lobewright form 1 {}", self.token).as_bytes()).to_hex();
        let body = form_urlencoded::Serializer::new(String::new())
            .extend_pairs(fields)
            .append_pair("form_token", &form_token)
            .finish();
        let head = self.head("POST", path, accept);
        let kind = "application/x-www-form-urlencoded";
        let request =
            format!("{head}Content-Type: {kind}\r\nContent-Length: {}\r\n\r\n{body}", body.len());
        self.asked(request.as_bytes())
    }

    fn head(&self, method: &str, path: &str, accept: &str) -> String {
        format!(
            "{method} {path} HTTP/1.1\r\nHost: {}\r\nCookie: lobewright={}\r\nAccept: \
             {accept}\r\nSec-Fetch-Site: same-origin\r\n",
            self.address, self.token
        )
    }

    fn asked(&mut self, request: &[u8]) -> io::Result<Answer> {
        let mut stream = match self.stream.take() {
            Some(stream) => stream,
            None => {
                let stream = TcpStream::connect(&self.address)?;
                stream.set_nodelay(true)?;
                stream.set_read_timeout(Some(PATIENCE))?;
                BufReader::new(stream)
            }
        };
        stream.get_mut().write_all(request)?;
        let (answer, stays) = read(&mut stream)?;
        if stays {
            self.stream = Some(stream);
        }
        Ok(answer)
    }
}

/// An answer, and whether the line stays open.
fn read(stream: &mut BufReader<TcpStream>) -> io::Result<(Answer, bool)> {
    let cut = || io::Error::new(io::ErrorKind::UnexpectedEof, "the answer was cut off");
    let mut line = String::new();
    if stream.read_line(&mut line)? == 0 {
        return Err(cut());
    }
    let status = line.split(' ').nth(1).and_then(|code| code.parse().ok()).ok_or_else(cut)?;
    let (mut length, mut stays) = (0, true);
    loop {
        line.clear();
        if stream.read_line(&mut line)? == 0 {
            return Err(cut());
        }
        let header = line.trim_end().to_ascii_lowercase();
        match header.split_once(": ") {
            Some(("content-length", value)) => length = value.parse().map_err(|_| cut())?,
            Some(("connection", "close")) => stays = false,
            Some(("transfer-encoding", _)) => return Err(io::Error::other("an answer in chunks")),
            Some(_) => {}
            None => break,
        }
    }
    let mut body = vec![0; length];
    stream.read_exact(&mut body)?;
    Ok((Answer { status, body }, stays))
}
