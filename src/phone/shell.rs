//! The page itself: one file with everything inside that it needs, which asks nobody for anything. For a web host the same with
//! what a browser needs to install it.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::drawing;
use crate::imprint::{allowed, generator, mark};
use crate::page::html::STYLE;

const OWN_STYLE: &str = include_str!("../page/phone/page.css");
const SCRIPT: &str = include_str!("../page/phone/page.js");
const WORKER: &str = include_str!("../page/phone/worker.js");
const SERVICE: &str = include_str!("../page/phone/service.js");
const ICON: &str = include_str!("../page/phone/icon.svg");

/// What a page holds besides its script.
pub struct Contents<'c> {
    /// What the file is called.
    pub name: &'c str,
    /// The file.
    pub text: &'c str,
    /// What is read where no script runs, and printed.
    pub sheet: &'c Markup,
    /// The library as WebAssembly, packed, in base 64.
    pub module: &'c str,
    /// Whether it lies on a web host.
    pub site: bool,
}

/// The page as one file.
pub fn page(contents: &Contents) -> String {
    let Contents { name, text, sheet, module, site } = contents;
    let style = format!("{}{STYLE}{OWN_STYLE}", drawing::STYLE);
    let [worker, images, manifest] = if *site {
        ["blob: 'self'", "data: 'self'", " manifest-src 'self';"]
    } else {
        ["blob:", "data:", ""]
    };
    let policy = format!(
        "default-src 'none'; script-src 'sha256-{}' 'wasm-unsafe-eval'; style-src 'sha256-{}'; worker-src {worker}; \
         img-src {images};{manifest} base-uri 'none'; form-action 'none'",
        allowed(SCRIPT),
        allowed(&style)
    );
    let state = serde_json::json!({ "name": name, "text": text }).to_string();
    let worker = serde_json::json!(WORKER).to_string();
    let document = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content=(generator());
                meta name="color-scheme" content="light dark";
                title { "Kentledge" }
                link rel="icon" href=(if *site { "icon.svg" } else { "data:," });
                @if *site { link rel="manifest" href="kart.webmanifest"; }
                style { (PreEscaped(&style)) }
            }
            body {
                main id="tool" hidden {}
                div id="sheet" { (sheet) }
                script type="application/json" id="state" { (PreEscaped(data(&state))) }
                script type="application/json" id="worker" { (PreEscaped(data(&worker))) }
                script type="text/plain" id="module" { (PreEscaped(module.trim())) }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    document.into_string() + "\n"
}

/// The files of a folder for a web host, by name.
pub fn site(page: &str) -> [(&'static str, String); 4] {
    // A page that is another one gets a store of its own, so that phones take it the next time they have a network.
    let (store, mark) = (mark(page), generator());
    let manifest = serde_json::json!({
        "name": "Kentledge", "short_name": "Kentledge", "description": mark, "start_url": "./", "scope": "./",
        "display": "standalone", "background_color": "#ffffff", "theme_color": "#000000",
        "icons": [{ "src": "icon.svg", "type": "image/svg+xml", "sizes": "any", "purpose": "any" }],
    });
    [
        ("index.html", page.to_owned()),
        ("service.js", format!("// {mark}\n{}", SERVICE.replace("STORE", &format!("kentledge-{store}")))),
        ("kart.webmanifest", format!("{manifest:#}\n")),
        ("icon.svg", ICON.replace("<svg", &format!("<!-- {mark} -->\n<svg"))),
    ]
}

/// JSON in which nothing can end the element that holds it.
fn data(json: &str) -> String {
    json.replace('<', "\\u003c")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_in_a_file_ends_the_element_that_holds_it() {
        assert_eq!(data("\"</script>\""), "\"\\u003c/script>\"");
    }
}
