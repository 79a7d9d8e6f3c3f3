//! Smaller forms of pictures in pages: the browser takes the one that its screen needs.

use std::collections::BTreeMap;

use super::Site;

/// What a picture begins with in finished HTML. Only our own do: writers' own HTML loses its pictures in the cleaner, and
/// in their texts every `<` is escaped.
const PICTURE: &str = "<img src=\"";

/// The smaller forms of pictures: width in pixels and address, by the picture's own address.
#[derive(Debug, Default)]
pub struct Sizes(BTreeMap<String, Vec<(u32, String)>>);

impl Sizes {
    /// Smaller forms, narrowest first, by the picture's address.
    pub fn new(forms: BTreeMap<String, Vec<(u32, String)>>) -> Sizes {
        Sizes(forms)
    }
}

impl Site<'_> {
    /// The value of `srcset` for a picture: its smaller forms and the picture itself, of `width` pixels. Empty if it has
    /// none.
    pub(super) fn source_set(&self, address: &str, width: u32) -> String {
        let forms = self.sizes.0.get(address).filter(|forms| !forms.is_empty());
        let Some(forms) = forms else {
            return String::new();
        };
        let forms = forms.iter().map(|(width, form)| format!("{form} {width}w"));
        let all: Vec<String> = forms.chain([format!("{address} {width}w")]).collect();
        all.join(", ")
    }

    /// Finished HTML in which every picture that has smaller forms names them.
    pub(super) fn with_source_sets(&self, html: String) -> String {
        if self.sizes.0.is_empty() || !html.contains(PICTURE) {
            return html;
        }
        let mut parts = html.split(PICTURE);
        let mut out = parts.next().unwrap_or_default().to_owned();
        for part in parts {
            out.push_str(PICTURE);
            let set = part.split_once('"').and_then(|(address, rest)| {
                let width = rest.split_once(" width=\"")?.1.split('"').next()?;
                let set = self.source_set(address, width.parse().ok()?);
                (!set.is_empty()).then_some((address, set, rest))
            });
            match set {
                Some((address, set, rest)) => out.push_str(&format!(
                    "{address}\" srcset=\"{set}\" sizes=\"auto, 100vw\"{rest}"
                )),
                None => out.push_str(part),
            }
        }
        out
    }
}
