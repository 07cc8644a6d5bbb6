//! What somebody attaches is never a page: its kind is told by its first bytes, its name is a name,
//! and a browser that is led to it runs nothing of it.

use crate::bench::{Answer, Bench, begun};
use axum::http::StatusCode;

const PNG: &[u8] = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR";

/// Attaches a file to part 1 as a page would, with this whole header for its part of the form.
fn attach(bench: &mut Bench, disposition: &str, kind: &str, bytes: &[u8]) -> Answer {
    let token = bench.form_token();
    let mut body = format!(
        "--b0\r\nContent-Disposition: form-data; name=\"form_token\"\r\n\r\n{token}\r\n--b0\r\n\
         Content-Disposition: form-data; name=\"photo\"; {disposition}\r\nContent-Type: {kind}\r\n\r\n"
    )
    .into_bytes();
    body.extend_from_slice(bytes);
    body.extend_from_slice(b"\r\n--b0--\r\n");
    let headers =
        [("content-type", "multipart/form-data; boundary=b0"), ("sec-fetch-site", "same-origin")];
    bench.ask("POST", "/shelf/1/photo", &headers, &body)
}

fn with_part() -> (tempfile::TempDir, Bench) {
    let (folder, mut bench) = begun();
    bench.must("/shelf", &[("part-kind", "rotor"), ("part-serial", "R-114")]);
    (folder, bench)
}

/// It is served as what it is, and as nothing that runs.
fn is_inert(answer: &Answer, kind: &str) {
    assert_eq!(answer.status, StatusCode::OK);
    assert_eq!(answer.headers["content-type"], kind);
    assert_eq!(answer.headers["x-content-type-options"], "nosniff");
    assert_eq!(answer.headers["cross-origin-resource-policy"], "same-origin");
    let policy = answer.headers["content-security-policy"].to_str().unwrap();
    assert_eq!(policy, "default-src 'none'; sandbox; frame-ancestors 'none'");
}

#[test]
fn a_drawing_with_a_script_is_not_taken() {
    let (_folder, mut bench) = with_part();
    let svg = b"<svg xmlns=\"http://www.w3.org/2000/svg\"><script>alert(1)</script></svg>";
    for name in ["a.svg", "a.png"] {
        let answer = attach(&mut bench, &format!("filename=\"{name}\""), "image/svg+xml", svg);
        assert_eq!(answer.status, StatusCode::UNSUPPORTED_MEDIA_TYPE, "{}", answer.text());
        assert!(answer.text().contains("attach one of these"), "{}", answer.text());
    }
    assert_eq!(bench.get("/attachments/1").status, StatusCode::NOT_FOUND);
}

#[test]
fn a_page_that_calls_itself_a_picture_is_not_taken() {
    let (_folder, mut bench) = with_part();
    for bytes in [
        &b"<html><script>alert(1)</script>"[..],
        b"<!DOCTYPE html>",
        b" \x89PNG\r\n\x1a\n",
        b"\xef\xbb\xbf<html>",
        b"GIF89a<script>alert(1)</script>",
        b"MZ\x90\0",
        b"PK\x03\x04",
        b"",
        b"\x89PN",
    ] {
        let answer = attach(&mut bench, "filename=\"tip.png\"", "image/png", bytes);
        assert_eq!(answer.status, StatusCode::UNSUPPORTED_MEDIA_TYPE, "{bytes:?}");
    }
}

#[test]
fn a_picture_that_is_a_page_as_well_is_served_as_a_picture_that_runs_nothing() {
    let (_folder, mut bench) = with_part();
    let polyglot = [PNG, b"<html><script>fetch('/people')</script></html>"].concat();
    // Whatever the browser says that it is.
    for (n, kind) in ["image/png", "text/html", "image/svg+xml", "application/javascript"]
        .into_iter()
        .enumerate()
    {
        let answer = attach(&mut bench, "filename=\"tip.html\"", kind, &polyglot);
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
        let served = bench.get(&format!("/attachments/{}", n + 1));
        is_inert(&served, "image/png");
        assert_eq!(served.body, polyglot);
    }
    let pdf = b"%PDF-1.7\n<script>alert(1)</script>";
    attach(&mut bench, "filename=\"a.pdf\"", "text/html", pdf);
    let served = bench.get("/attachments/5");
    is_inert(&served, "application/pdf");
    let disposition = served.headers["content-disposition"].to_str().unwrap();
    assert_eq!(disposition, "attachment; filename=\"a.pdf\"");
    for (n, (bytes, kind)) in [
        (&b"\xff\xd8\xff\xe0<html>"[..], "image/jpeg"),
        (b"RIFF\x10\0\0\0WEBP<html>", "image/webp"),
    ]
    .into_iter()
    .enumerate()
    {
        attach(&mut bench, "filename=\"a\"", "text/html", bytes);
        is_inert(&bench.get(&format!("/attachments/{}", n + 6)), kind);
    }
}

#[test]
fn a_name_is_a_name_and_no_way_to_a_file() {
    let (folder, mut bench) = with_part();
    let before: Vec<_> = files(folder.path());
    for (n, (disposition, kept)) in [
        ("filename=\"../../../../tmp/over.pdf\"", "over.pdf"),
        ("filename=\"C:\\\\shop\\\\..\\\\shop.db\"", "shop.db"),
        ("filename=\"/etc/passwd\"", "passwd"),
        ("filename=\"..\"", ".."),
        ("filename=\"<script>alert(1)<\"", "<script>alert(1)<"),
        ("filename=\"a\u{202e}fdp.exe\"", "a\u{202e}fdp.exe"),
    ]
    .into_iter()
    .enumerate()
    {
        let answer = attach(&mut bench, disposition, "application/pdf", b"%PDF-1.7\n");
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{disposition}: {}", answer.text());
        let id = i64::try_from(n).unwrap() + 1;
        let (attachment, _) = bench.shop().attachment(records::AttachmentId(id)).unwrap();
        assert_eq!(attachment.name, kept, "{disposition}");
        let served = bench.get(&format!("/attachments/{id}"));
        let told = served.headers["content-disposition"].to_str().unwrap();
        let name = told.strip_prefix("attachment; filename=\"").unwrap().strip_suffix('"').unwrap();
        assert!(name.chars().all(|c| c.is_ascii_alphanumeric() || "-_. ".contains(c)), "{told}");
    }
    let page = bench.page("/shelf/1");
    assert!(!page.contains("<script>alert"), "{page}");
    assert_eq!(before, files(folder.path()));
}

/// What is in a folder, but for the journal of the shop's file.
fn files(folder: &std::path::Path) -> Vec<std::ffi::OsString> {
    let names = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name());
    let mut names: Vec<_> = names.filter(|n| !n.to_string_lossy().contains("-")).collect();
    names.sort();
    names
}

#[test]
fn what_is_too_large_is_not_taken_and_nothing_is_unpacked() {
    let (_folder, mut bench) = with_part();
    let most = 16 * 1024 * 1024;
    let mut large = PNG.to_vec();
    large.resize(most + 1, 0);
    let answer = attach(&mut bench, "filename=\"a.png\"", "image/png", &large);
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    large.resize(18 * 1024 * 1024, 0);
    let answer = attach(&mut bench, "filename=\"a.png\"", "image/png", &large);
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    large.truncate(most);
    let answer = attach(&mut bench, "filename=\"a.png\"", "image/png", &large);
    assert_eq!(answer.status, StatusCode::SEE_OTHER);
    // A picture that says it is 65535 by 65535 is bytes like any other: nobody here unpacks it.
    let bomb = [PNG, b"\0\0\xff\xff\0\0\xff\xff\x08\x06\0\0\0"].concat();
    attach(&mut bench, "filename=\"bomb.png\"", "image/png", &bomb);
    assert_eq!(bench.get("/attachments/2").body, bomb);
    // A body that says it is packed is read as it stands: there is no form in it.
    let packed = [0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 3, 0xed, 0xc1, 1, 1, 0, 0];
    let headers = [
        ("content-type", "application/x-www-form-urlencoded"),
        ("content-encoding", "gzip"),
        ("sec-fetch-site", "same-origin"),
    ];
    let answer = bench.ask("POST", "/shelf/1/event", &headers, &packed);
    assert!(answer.status.is_client_error(), "{}", answer.status);
    // Thousands of small pieces are no more than their bytes.
    let token = bench.form_token();
    let many = (0..20_000).fold(String::new(), |body, n| {
        body + &format!("--b0\r\nContent-Disposition: form-data; name=\"f{n}\"\r\n\r\nx\r\n")
    });
    let many = format!(
        "{many}--b0\r\nContent-Disposition: form-data; name=\"form_token\"\r\n\r\n{token}\r\n--b0--\r\n"
    );
    let headers =
        [("content-type", "multipart/form-data; boundary=b0"), ("sec-fetch-site", "same-origin")];
    let answer = bench.ask("POST", "/shelf/1/photo", &headers, many.as_bytes());
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
}
