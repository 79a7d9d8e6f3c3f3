//! What only scripts need of the one file, packed: their data under the addresses that it has in the site, and forms.

use std::io::Write;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use flate2::{Compression, GzBuilder};
use serde_json::json;

use super::Chosen;
use crate::site::outputs::Output;
use crate::site::{Site, find};

/// A JSON object of all of it, packed by gzip (RFC 1952), as base64. `parts` are pieces of pages by their keys.
pub fn packed(site: &Site<'_>, chosen: Option<Chosen<'_>>, parts: &[(String, String)]) -> String {
    let mut fields: Vec<String> = Vec::new();
    let mut add = |key: &str, data: &str| fields.push(format!("{}:{data}", json!(key)));
    for output in site.outputs() {
        let name = match output {
            Output::LibraryScript => "library",
            Output::UnitsScript => "units",
            Output::CalculatorScript(_) => "calculator",
            _ => continue,
        };
        let script = site.render(&output);
        let script = String::from_utf8_lossy(&script);
        add(&output.address(), assigned(&script, name));
    }
    for (address, script) in find::index(site, chosen.map(|chosen| chosen.choice)) {
        add(&address, taken(&String::from_utf8_lossy(&script)));
    }
    for (key, html) in parts {
        add(key, &json!(html).to_string());
    }
    STANDARD.encode(pack(&format!("{{{}}}", fields.join(","))))
}

fn pack(text: &str) -> Vec<u8> {
    // No time and no system stand in the head: the same text gives the same bytes.
    let head = GzBuilder::new().mtime(0).operating_system(255);
    let mut packer = head.write(Vec::new(), Compression::best());
    // Writing to memory cannot fail.
    let _ = packer.write_all(text.as_bytes());
    packer.finish().unwrap_or_default()
}

/// The JSON in a script of the site that gives it a name.
fn assigned<'t>(script: &'t str, name: &str) -> &'t str {
    let found = script.split_once(&format!(").{name} = "));
    found.map_or("null", |(_, data)| data.trim_end().trim_end_matches(';'))
}

/// The JSON in a file of the index: `Fettlebook.find.take("terms",3,…);`.
fn taken(script: &str) -> &str {
    let data = script.splitn(3, ',').nth(2).unwrap_or("null");
    let data = data.trim_end();
    data.strip_suffix(");").unwrap_or(data)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn data_is_taken_out_of_scripts() {
        let script = "(window.Fettlebook = window.Fettlebook || {}).units = [[\"a;\"]];\n";
        assert_eq!(assigned(script, "units"), "[[\"a;\"]]");
        let script = "Fettlebook.find.take(\"terms\",3,[\"a,b\",\"c)\"]);\n";
        assert_eq!(taken(script), "[\"a,b\",\"c)\"]");
    }
}
