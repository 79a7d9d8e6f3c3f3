//! The site as a real server serves it: nginx with the sample configuration of `hosting/nginx.conf`, in which the test changes
//! paths and the port alone. Then the same in Chromium.

mod support;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use serde_json::json;
use support::browser::Browser;
use support::nginx::{Answer, Nginx, SAMPLE, unzipped};

/// Copies of the demo site, compressed and not; what a server must not show lies in each.
struct Copies {
    plain: PathBuf,
    packed: PathBuf,
}

fn copies() -> &'static Copies {
    static COPIES: OnceLock<Copies> = OnceLock::new();
    COPIES.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("served");
        let _ = std::fs::remove_dir_all(&folder);
        let (plain, packed) = (folder.join("plain"), folder.join("packed"));
        std::fs::create_dir_all(&folder).expect("a folder");
        run(Command::new(env!("CARGO_BIN_EXE_fettlebook"))
            .args(["publish", "content", "--to"])
            .arg(&plain)
            .current_dir(env!("CARGO_MANIFEST_DIR")));
        run(Command::new("cp").arg("-a").arg(&plain).arg(&packed));
        // The command that the sample gives, at the copy's place.
        let command = SAMPLE
            .lines()
            .find_map(|line| line.strip_prefix("#   find "));
        let command = format!("find {}", command.expect("the command"));
        let command = command.replace("/srv/library", "\"$0\"");
        run(Command::new("sh").args(["-c", &command]).arg(&packed));
        for copy in [&plain, &packed] {
            std::fs::write(copy.join(".secret"), "a secret").expect("a file");
            std::fs::create_dir_all(copy.join(".git")).expect("a folder");
            std::fs::write(copy.join(".git/config"), "a secret").expect("a file");
        }
        Copies { plain, packed }
    })
}

fn run(command: &mut Command) {
    let output = command.output();
    let output = output.unwrap_or_else(|error| panic!("{command:?}: {error}"));
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{command:?}: {said}");
}

/// Every file of the site as a path below it.
fn files(site: &Path) -> Vec<String> {
    let entries = walkdir::WalkDir::new(site).sort_by_file_name().into_iter();
    let files = entries
        .map(|entry| entry.expect("an entry"))
        .filter(|entry| entry.file_type().is_file());
    let names = files.map(|entry| {
        entry
            .path()
            .strip_prefix(site)
            .expect("below")
            .to_string_lossy()
            .into_owned()
    });
    names
        .filter(|name| !name.starts_with('.') && !name.ends_with(".gz"))
        .collect()
}

/// The policy of a page, as it stands in its head.
fn policy_of_page(html: &[u8]) -> String {
    let html = String::from_utf8_lossy(html);
    let start = "<meta http-equiv=\"Content-Security-Policy\" content=\"";
    let (_, rest) = html.split_once(start).expect("a policy");
    rest.split('"').next().expect("its end").to_owned()
}

fn header<'a>(answer: &'a Answer, name: &str) -> &'a str {
    answer.headers.get(name).map_or("", String::as_str)
}

/// The type of a file by its ending, as a browser must be told it.
fn expected_type(name: &str) -> Option<&'static str> {
    let ending = name.rsplit('.').next().unwrap_or("");
    Some(match ending {
        "html" => "text/html; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "js" => "application/javascript; charset=utf-8",
        "csv" => "text/csv; charset=utf-8",
        "txt" => "text/plain; charset=utf-8",
        "vtt" => "text/vtt; charset=utf-8",
        "json" => "application/json",
        "jsonld" => "application/ld+json",
        "svg" => "image/svg+xml",
        "woff2" => "font/woff2",
        "webmanifest" => "application/manifest+json",
        "atom" => "application/atom+xml",
        "zip" => "application/zip",
        "png" => "image/png",
        _ => return None,
    })
}

#[test]
fn the_readme_quotes_the_configuration_that_is_tested() {
    let readme = include_str!("../README.md");
    let (_, after) = readme.split_once("```nginx\n").expect("the quotation");
    let (quoted, _) = after.split_once("```\n").expect("its end");
    assert_eq!(quoted, SAMPLE);
}

#[test]
fn every_file_is_served_whole_with_its_type_and_the_policy_of_the_pages() {
    for site in [&copies().plain, &copies().packed] {
        let nginx = Nginx::start(site);
        let index = std::fs::read(site.join("index.html")).expect("a page");
        let policy = format!("{}; frame-ancestors 'none'", policy_of_page(&index));
        let names = files(site);
        assert!(names.len() > 200, "{}", names.len());
        for name in names {
            let there = std::fs::read(site.join(&name)).expect("a file");
            let answer = nginx.get(&format!("/library/{name}"), &[]);
            assert_eq!((answer.status, &answer.body), (200, &there), "{name}");
            let kind = expected_type(&name).unwrap_or_else(|| panic!("of what type is {name}?"));
            assert_eq!(header(&answer, "content-type"), kind, "{name}");
            assert_eq!(header(&answer, "content-security-policy"), policy, "{name}");
            assert_eq!(header(&answer, "x-content-type-options"), "nosniff");
            assert_eq!(header(&answer, "referrer-policy"), "no-referrer");
            assert_eq!(header(&answer, "cache-control"), "no-cache");
            assert_eq!(header(&answer, "content-encoding"), "");
            if name.ends_with(".html") {
                assert_eq!(
                    format!("{}; frame-ancestors 'none'", policy_of_page(&there)),
                    policy,
                    "{name}"
                );
            }
        }
        assert!(
            !nginx.log().contains("[warn]") && !nginx.log().contains("[emerg]"),
            "{}",
            nginx.log()
        );
    }
}

#[test]
fn whoever_can_read_compressed_files_gets_them_and_is_told_when_nothing_changed() {
    for (site, is_packed) in [(&copies().plain, false), (&copies().packed, true)] {
        let nginx = Nginx::start(site);
        for name in [
            "index.html",
            "assets/js/find.js",
            "figures.csv",
            "media/arrangement.svg",
        ] {
            let name = match site.join(name).is_file() {
                true => name.to_owned(),
                // The scripts' names are the theme's affair; any will do.
                false => files(site)
                    .into_iter()
                    .find(|name| name.ends_with(".js"))
                    .expect("a script"),
            };
            let path = format!("/library/{name}");
            let there = std::fs::read(site.join(&name)).expect("a file");
            let packed = nginx.get(&path, &[("Accept-Encoding", "gzip, deflate, br")]);
            assert_eq!(header(&packed, "content-encoding"), "gzip", "{name}");
            assert!(
                header(&packed, "vary").contains("Accept-Encoding"),
                "{name}"
            );
            assert_eq!(unzipped(&packed.body), there, "{name}");
            assert!(packed.body.len() < there.len() * 3 / 4, "{name}");
            // A copy that was packed before is sent as it lies there, with a length and an ETag that holds byte for byte.
            assert_eq!(
                packed.headers.contains_key("content-length"),
                is_packed,
                "{name}"
            );
            let tag = header(&packed, "etag");
            assert_eq!(tag.starts_with("W/"), !is_packed, "{name}: {tag}");
            let plain = nginx.get(&path, &[]);
            assert!(header(&plain, "vary").contains("Accept-Encoding"), "{name}");
            for (tag, coding) in [(tag, "gzip"), (header(&plain, "etag"), "identity")] {
                assert!(!tag.is_empty());
                let again = nginx.get(
                    &path,
                    &[("Accept-Encoding", coding), ("If-None-Match", tag)],
                );
                assert_eq!(
                    (again.status, again.body.len()),
                    (304, 0),
                    "{name} {coding}"
                );
                assert_eq!(header(&again, "cache-control"), "no-cache");
            }
            let changed = nginx.get(&path, &[("If-None-Match", "\"another\"")]);
            assert_eq!(changed.status, 200);
        }
        // Fonts are compressed already.
        let font = files(site)
            .into_iter()
            .find(|name| name.ends_with(".woff2"))
            .expect("a font");
        let font = nginx.get(&format!("/library/{font}"), &[("Accept-Encoding", "gzip")]);
        assert_eq!((font.status, header(&font, "content-encoding")), (200, ""));
    }
}

#[test]
fn the_sub_path_is_all_there_is_and_shows_no_folders_and_no_hidden_files() {
    let nginx = Nginx::start(&copies().packed);
    let to_folder = nginx.get("/library", &[]);
    assert_eq!(
        (to_folder.status, header(&to_folder, "location")),
        (301, "/library/")
    );
    let index = std::fs::read(copies().packed.join("index.html")).expect("a page");
    assert_eq!(nginx.get("/library/", &[]).body, index);
    let refused = [
        ("/", 404),
        ("/index.html", 404),
        ("/library/nowhere.html", 404),
        ("/library/assets/", 403),
        ("/library/media/", 403),
        ("/library/.secret", 404),
        ("/library/.git/config", 404),
        ("/library/assets/../.secret", 404),
        ("/library/%2esecret", 404),
        ("/library../plain/index.html", 404),
        ("/library/..%2f..%2f..%2fetc/passwd", 400),
        ("/library/%2e%2e/%2e%2e/etc/passwd", 400),
    ];
    for (path, status) in refused {
        let answer = nginx.get(path, &[]);
        let text = String::from_utf8_lossy(&answer.body).into_owned();
        assert_eq!(answer.status, status, "{path}: {text}");
        assert!(
            !text.contains("a secret") && !text.contains("root:") && !text.contains("Index of"),
            "{path}"
        );
        // The version of a server tells an attacker where to begin.
        assert_eq!(header(&answer, "server"), "nginx", "{path}");
        assert!(!text.contains("nginx/"), "{path}");
    }
    // What is refused under the sub-path carries the policy too.
    let missing = nginx.get("/library/nowhere.html", &[]);
    assert!(header(&missing, "content-security-policy").ends_with("frame-ancestors 'none'"));
    let head = nginx.ask("HEAD", "/library/index.html", &[]);
    assert_eq!((head.status, head.body.len()), (200, 0));
    for method in ["POST", "PUT", "DELETE"] {
        let answer = nginx.ask(method, "/library/index.html", &[("Content-Length", "0")]);
        assert!(answer.status == 405, "{method}: {}", answer.status);
    }
    let part = nginx.get("/library/figures.csv", &[("Range", "bytes=0-9")]);
    assert_eq!(
        (part.status, part.body.len()),
        (206, 10),
        "films are fetched in parts"
    );
}

#[test]
fn pages_search_and_a_calculator_work_under_the_sub_path() {
    let nginx = Nginx::start(&copies().packed);
    let browser = Browser::launch();
    let page = browser.page();
    page.set_window(390, 844, 2.0);
    let pages: Vec<String> = files(&copies().packed)
        .into_iter()
        .filter(|name| name.ends_with(".html"))
        .collect();
    for name in &pages {
        page.goto(&nginx.address(&format!("/library/{name}")));
    }
    assert_eq!(page.console_errors(), Vec::<String>::new());
    page.goto(&nginx.address("/library/find.html"));
    page.eval("document.querySelector('.find-question').focus()");
    page.type_text("coupling nut torqe");
    page.wait_until("!!document.querySelector('.find-answers .tag')");
    page.wait_until("document.querySelector('.find-answers .tag').innerText.includes('180')");
    page.goto(&nginx.address("/library/calc-interference-joint.html"));
    for (id, text) in [
        ("hole", "60.012"),
        ("shaft", "60.061"),
        ("hub_outer", "100"),
        ("length", "40"),
    ] {
        page.eval(&format!("document.querySelector('#ask-{id}').focus(), document.querySelector('#ask-{id}').select()"));
        page.type_text(text);
    }
    // 60.061 - 60.012 = 0.049 mm of interference.
    page.wait_until("(document.querySelector('[data-answer=tight] .given-value') || document.body).innerText.includes('49.0')");
    assert_eq!(page.console_errors(), Vec::<String>::new());
    let root = nginx.address("/library/");
    for request in page.requests() {
        assert!(
            request.starts_with(&root) || request == "about:blank",
            "{request}"
        );
    }
    // The page is told that its address is under the sub-path, and says so to nobody.
    let shown = page.eval("location.pathname");
    assert_eq!(shown, json!("/library/calc-interference-joint.html"));
}
