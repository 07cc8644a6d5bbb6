//! The app is killed while benches send readings: what it acknowledged is there, once and whole.

#![expect(clippy::unwrap_used, reason = "in tests a panic is the report")]

use lobewright::ops::import;
use records::{BuildId, Moment, PartKind, Session, Sha, Shop, When};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::Mutex;
use std::thread;
use std::time::Duration;

/// How often; `LOBEWRIGHT_KILLS` says another number.
const KILLS: u64 = 20;
/// Benches that send at once, each at stations of its own.
const BENCHES: usize = 3;
const TOKEN: &str = "a bench's own";
const BOAT: &str = include_str!("../../../examples/sprint-boat.toml");
const STATIONS: [&str; BENCHES] = ["land_width.1", "tip_width.2", "mass"];

fn now() -> Moment {
    Moment::new("2026-11-28T09:30:00Z").unwrap()
}

fn new_shop(file: &Path) {
    let shop = Shop::create(file).unwrap();
    let owner = shop.add_person("Ada Quill", "owner").unwrap();
    let until = Moment::new("2999-01-01T00:00:00Z").unwrap();
    // As the app's own clock has it: a session ends some hours after it was opened.
    let opened = jiff::Timestamp::now().strftime("%Y-%m-%dT%H:%M:%SZ").to_string();
    let opened = Moment::new(&opened).unwrap();
    shop.open_session(Sha::of(TOKEN.as_bytes()), &Session { person: owner, until }, &opened)
        .unwrap();
    shop.set_setting("begun", now().as_str()).unwrap();
    import(&shop, BOAT, None, ("Ada Quill", &now())).unwrap();
}

/// The app on a free port.
fn serve(file: &Path) -> (Child, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_lobewright"))
        .args(["serve", file.to_str().unwrap(), "--port", "0"])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
    let address = line.split("http://").nth(1).unwrap().trim().trim_end_matches('/').to_owned();
    (child, address)
}

/// Sends one reading; what the app said, if it lived to say it.
fn send(address: &str, part: i64, fields: &[(&str, &str)]) -> Option<serde_json::Value> {
    let body = form_urlencoded::Serializer::new(String::new()).extend_pairs(fields).finish();
    let mut line = TcpStream::connect(address).ok()?;
    line.set_read_timeout(Some(Duration::from_secs(20))).ok()?;
    write!(
        line,
        "POST /builds/1/readings/{part}/before HTTP/1.1\r\nHost: {address}\r\nAuthorization: \
         Bearer {TOKEN}\r\nAccept: application/json\r\nContent-Type: \
         application/x-www-form-urlencoded\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
        body.len()
    )
    .ok()?;
    let mut answer = Vec::new();
    line.read_to_end(&mut answer).ok()?;
    let answer = String::from_utf8(answer).ok()?;
    let (head, body) = answer.split_once("\r\n\r\n")?;
    // An answer that was cut off is none.
    let length: usize = head
        .lines()
        .find_map(|l| l.to_lowercase().strip_prefix("content-length: ")?.parse().ok())?;
    (body.len() == length).then(|| serde_json::from_str(body).unwrap())
}

/// What stands at a station: its readings' texts, the last one's number last.
fn standing(shop: &Shop, station: &str) -> Vec<records::Reading> {
    let part = shop.part_of(PartKind::Rotor, "R-114").unwrap().unwrap().id;
    shop.readings_at(part, Some(BuildId(1)), When::Before, station).unwrap()
}

/// One bench: sends until the app is gone; what was acknowledged.
fn bench(address: &str, part: i64, station: &str, expected: String, round: u64) -> Vec<String> {
    let (mut acknowledged, mut expected) = (Vec::new(), expected);
    for n in 0_u64.. {
        let value = match station {
            "mass" => format!("4312.{round:03}{n:04} g"),
            "tip_width.2" => format!("79.735{round:03}{n:04} mm"),
            _ => format!("79.915{round:03}{n:04} mm"),
        };
        let word = format!("{station} {round} {n}");
        let fields = [
            ("revision", "1"),
            ("station", station),
            ("value", value.as_str()),
            ("expected", expected.as_str()),
            ("sent_as", word.as_str()),
        ];
        let Some(answer) = send(address, part, &fields) else { return acknowledged };
        assert_eq!(answer["state"], "kept", "{answer}");
        let list = answer["list"].as_str().unwrap();
        let at = list.find(&format!("data-station=\"{station}\"")).unwrap();
        let from = at + list[at..].find("data-expected=\"").unwrap() + "data-expected=\"".len();
        list[from..].split('"').next().unwrap().clone_into(&mut expected);
        acknowledged.push(value);
    }
    acknowledged
}

#[test]
fn nothing_acknowledged_is_lost_and_nothing_is_half_there() {
    let kills = std::env::var("LOBEWRIGHT_KILLS").map_or(KILLS, |kills| kills.parse().unwrap());
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("shop.db");
    new_shop(&file);
    let mut all: Vec<Vec<String>> = vec![Vec::new(); BENCHES];
    let (mut acknowledged, mut beyond) = (0, 0);
    for round in 0..kills {
        let (part, before): (i64, Vec<String>) = {
            let shop = Shop::open(&file, &now()).unwrap();
            let part = shop.part_of(PartKind::Rotor, "R-114").unwrap().unwrap().id;
            let last = |station: &&str| standing(&shop, station).last().unwrap().id.to_string();
            (part.0, STATIONS.iter().map(last).collect())
        };
        let (mut child, address) = serve(&file);
        let sent = Mutex::new(vec![Vec::new(); BENCHES]);
        thread::scope(|scope| {
            for (index, (station, expected)) in STATIONS.iter().zip(before).enumerate() {
                let (address, sent) = (&address, &sent);
                scope.spawn(move || {
                    let done = bench(address, part, station, expected, round);
                    sent.lock().unwrap()[index] = done;
                });
            }
            // Another moment each round, spread over what some readings take.
            thread::sleep(Duration::from_millis(40 + (round * 7919) % 400));
            child.kill().unwrap();
            child.wait().unwrap();
        });
        let shop = Shop::open(&file, &now()).unwrap();
        shop.check().unwrap();
        shop.audit().unwrap();
        for (index, done) in sent.into_inner().unwrap().into_iter().enumerate() {
            let there: Vec<String> = standing(&shop, STATIONS[index])
                .iter()
                .skip(1)
                .map(|r| r.value.text().to_owned())
                .collect();
            let known = all[index].len();
            let new = &there[known..];
            assert_eq!(there[..known], all[index][..], "what was there before");
            // Whatever was acknowledged, and at most the one that was on its way.
            assert!(new.len() <= done.len() + 1, "{new:?} {done:?}");
            assert_eq!(new[..done.len()], done[..]);
            acknowledged += done.len();
            beyond += new.len() - done.len();
            all[index] = there;
        }
        // The build's file shows the readings that stand.
        let file_now = lobewright::ops::export(&shop, BuildId(1)).unwrap();
        for station in STATIONS {
            let last = standing(&shop, station);
            assert!(file_now.contains(last.last().unwrap().value.text()), "{station}");
        }
    }
    assert!(acknowledged > 0, "no reading was ever acknowledged");
    // Told with --nocapture: how much of it there was.
    let mut out = std::io::stdout();
    writeln!(
        out,
        "{kills} kills, {acknowledged} readings acknowledged, {beyond} kept unacknowledged"
    )
    .unwrap();
}
