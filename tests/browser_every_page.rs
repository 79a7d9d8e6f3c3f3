//! Every kind of page in a real Chromium: the rules of accessibility in light and dark, the content-security policy, and
//! that nothing runs which somebody put into a field or into a page.

#[path = "support/hurt.rs"]
mod hurt;
mod support;

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use serde_json::json;
use support::axe::violations;
use support::browser::{Browser, file_address};
use support::server::Server;

/// The policy that the pages carry, as a server is told to send it.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; media-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'self'; require-trusted-types-for 'script'; trusted-types fettlebook; frame-ancestors 'none'";

/// A folder of this file's own below the target folder, filled once.
fn once(cell: &'static OnceLock<PathBuf>, name: &str, fill: impl FnOnce(&Path)) -> &'static Path {
    cell.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
        if folder.exists() {
            std::fs::remove_dir_all(&folder).expect("removed");
        }
        fill(&folder);
        folder
    })
}

/// The demo site with its proof sheet.
fn demo() -> &'static Path {
    static SITE: OnceLock<PathBuf> = OnceLock::new();
    once(&SITE, "every page", |folder| {
        let status = std::process::Command::new(env!("CARGO_BIN_EXE_fettlebook"))
            .args(["publish", "content", "--with-proof", "--to"])
            .arg(folder)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .status();
        assert!(status.expect("the program runs").success());
    })
}

/// The site of the library with a script in every field.
fn hurtful() -> &'static Path {
    static SITE: OnceLock<PathBuf> = OnceLock::new();
    once(&SITE, "every field", |folder| {
        for (name, bytes) in hurt::site() {
            let file = folder.join(name);
            std::fs::create_dir_all(file.parent().expect("a folder")).expect("a folder");
            std::fs::write(file, bytes).expect("a file");
        }
    })
}

fn pages(site: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(site).expect("the site");
    let names = entries.map(|entry| {
        entry
            .expect("an entry")
            .file_name()
            .to_string_lossy()
            .into_owned()
    });
    let mut pages: Vec<String> = names.filter(|name| name.ends_with(".html")).collect();
    pages.sort();
    pages
}

/// Two pages of each kind that has many, and every other page.
fn kinds(site: &Path) -> Vec<String> {
    let mut kept: Vec<String> = Vec::new();
    for name in pages(site) {
        let kind = name.split('-').next().unwrap_or("").to_owned() + "-";
        let same = kept.iter().filter(|own| own.starts_with(&kind)).count();
        if same < 2 {
            kept.push(name);
        }
    }
    kept
}

#[test]
fn no_rule_of_accessibility_is_broken_on_any_kind_of_page_light_or_dark() {
    let browser = Browser::launch();
    let page = browser.page();
    let names = kinds(demo());
    let mut broken = Vec::new();
    for (width, height, scheme) in [(390, 844, "light"), (1280, 800, "dark")] {
        page.set_window(width, height, 1.0);
        page.set_media("", &[("prefers-color-scheme", scheme)]);
        for name in &names {
            page.goto(&file_address(&demo().join(name)));
            let found = violations(&page);
            let shown = |rule: &String| format!("{name}, {width} px, {scheme}: {rule}");
            broken.extend(found.iter().map(shown));
        }
    }
    println!("{} pages, light and dark", names.len());
    assert!(broken.is_empty(), "{broken:#?}");
    assert!(names.len() >= 25, "{names:?}");
}

#[test]
fn a_script_in_every_field_runs_on_no_page_and_breaches_nothing() {
    let browser = Browser::launch();
    let server = Server::start(hurtful(), POLICY);
    for served in [false, true] {
        let page = browser.page();
        let names = if served {
            kinds(hurtful())
        } else {
            pages(hurtful())
        };
        for name in &names {
            page.goto(&match served {
                true => server.address(name),
                false => file_address(&hurtful().join(name)),
            });
            assert_eq!(
                page.eval("window.hurt === undefined"),
                json!(true),
                "{name}"
            );
            assert_eq!(page.console_errors(), Vec::<String>::new(), "{name}");
            let made = page.eval(
                "document.querySelectorAll('img[src=x], svg[onload], a[href^=javascript]').length",
            );
            assert_eq!(made, json!(0), "{name}");
        }
        println!("{} pages, served: {served}", names.len());
    }
    // What is found is text too, also where a script puts it into the page.
    let page = browser.page();
    page.goto(&file_address(&hurtful().join("find.html")));
    page.eval("document.querySelector('.find-question').focus()");
    page.type_text("coupling nut");
    page.wait_until("document.body.innerText.includes('{{ 7*7 }}')");
    assert_eq!(page.eval("window.hurt === undefined"), json!(true));
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

#[test]
fn a_script_put_into_a_page_does_not_run_and_is_reported() {
    const ATTACKS: [(&str, &str, &str); 9] = [
        ("an inline script", "<script>window.hurt=1</script>", ""),
        ("a handler", "<img src=x onerror='window.hurt=1'>", ""),
        (
            "a click",
            "<button id=press onclick='window.hurt=1'>x</button>",
            "#press",
        ),
        (
            "an address that runs",
            "<a id=press href='javascript:void(window.hurt=1)'>x</a>",
            "#press",
        ),
        (
            "a script from elsewhere",
            "<script src='http://127.0.0.1:9/x.js'></script>",
            "",
        ),
        (
            "a script in its address",
            "<script src='data:text/javascript,window.hurt=1'></script>",
            "",
        ),
        ("a style", "<style>body { color: red }</style>", ""),
        (
            "a form",
            "<form action='javascript:window.hurt=1'><button id=press>x</button></form>",
            "#press",
        ),
        (
            "a frame",
            "<iframe srcdoc='<script>parent.hurt=1</script>'></iframe>",
            "",
        ),
    ];
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("put in");
    if folder.exists() {
        std::fs::remove_dir_all(&folder).expect("removed");
    }
    let copied = std::process::Command::new("cp")
        .arg("-r")
        .arg(demo())
        .arg(&folder)
        .status();
    assert!(copied.expect("cp").success());
    let server = Server::start(&folder, POLICY);
    let clean = std::fs::read_to_string(folder.join("index.html")).expect("a page");
    for (index, (what, html, then)) in ATTACKS.iter().enumerate() {
        let name = format!("put-in-{index}.html");
        let page_html = clean.replace("</main>", &format!("{html}</main>"));
        assert_ne!(page_html, clean);
        std::fs::write(folder.join(&name), page_html).expect("a page");
        for address in [file_address(&folder.join(&name)), server.address(&name)] {
            // A browser that was here before keeps the library, and shows no page that is not in it.
            let browser = Browser::launch();
            let page = browser.page();
            page.goto(&address);
            if !then.is_empty() {
                page.click_at(then);
            }
            page.eval("new Promise((done) => setTimeout(done, 60))");
            assert_eq!(
                page.eval("window.hurt === undefined"),
                json!(true),
                "{what} ran at {address}"
            );
            let errors = page.console_errors();
            assert!(
                errors
                    .iter()
                    .any(|error| error.contains("policy: ")
                        || error.contains("Content Security Policy")),
                "{what} at {address}: {errors:?}"
            );
        }
    }
    for address in [
        file_address(&folder.join("index.html")),
        server.address("index.html"),
    ] {
        let browser = Browser::launch();
        let page = browser.page();
        page.goto(&address);
        // As a script of the page would, not as the tester's tools do.
        for code in [
            "eval('window.hurt=1')",
            "new Function('window.hurt=1')()",
            "setTimeout('window.hurt=1')",
            "document.body.innerHTML = '<img src=x onerror=window.hurt=1>'",
        ] {
            let expression = format!(
                "(() => {{ try {{ {code}; return 'nothing thrown'; }} catch (error) {{ return error.name; }} }})()"
            );
            let asked = json!({"expression": expression, "returnByValue": true, "allowUnsafeEvalBlockedByCSP": false});
            let answer = page.call("Runtime.evaluate", asked);
            assert_ne!(
                answer["result"]["value"],
                json!("nothing thrown"),
                "{code} at {address}"
            );
        }
        assert_eq!(
            page.eval("window.hurt === undefined"),
            json!(true),
            "{address}"
        );
    }
}

#[test]
fn pictures_are_shown_upright_in_every_format() {
    let folder = tempfile::tempdir().expect("a folder");
    let picture = image::RgbImage::from_fn(60, 40, |x, y| match x < 15 && y < 10 {
        true => image::Rgb([250, 0, 0]),
        false => image::Rgb([0, 0, 250]),
    });
    let picture = image::DynamicImage::ImageRgb8(picture);
    let browser = Browser::launch();
    let page = browser.page();
    for (ending, format) in [
        ("jpg", image::ImageFormat::Jpeg),
        ("png", image::ImageFormat::Png),
        ("webp", image::ImageFormat::WebP),
    ] {
        let mut bytes = std::io::Cursor::new(Vec::new());
        picture.write_to(&mut bytes, format).expect("a picture");
        let mut own = img_parts::DynImage::from_bytes(bytes.into_inner().into())
            .expect("readable")
            .expect("known");
        img_parts::ImageEXIF::set_exif(
            &mut own,
            Some(
                b"MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0"
                    .as_slice()
                    .into(),
            ),
        );
        let path = fettlebook::text::SitePath::parse(&format!("a.{ending}")).expect("a path");
        let bytes = fettlebook::library::media::published(&path, own.encoder().bytes().to_vec());
        std::fs::write(folder.path().join(path.as_str()), bytes).expect("a file");
        std::fs::write(
            folder.path().join("page.html"),
            format!("<!doctype html><img src='a.{ending}'>"),
        )
        .expect("a page");
        page.goto(&file_address(&folder.path().join("page.html")));
        let size =
            page.eval("(i => [i.naturalWidth, i.naturalHeight])(document.querySelector('img'))");
        assert_eq!(size, json!([40, 60]), "{ending}");
    }
}
