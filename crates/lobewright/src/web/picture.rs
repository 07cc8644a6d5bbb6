//! A drawing inside a page: its style comes from the page's own sheet, not from within.

use maud::{Markup, PreEscaped, html};

/// A drawing as part of a page, with its data beside it. `csv` is where its data are.
pub(super) fn inline(svg: &str, csv: Option<&str>) -> Markup {
    html! {
        figure.drawing {
            (PreEscaped(without_style(svg)))
            @if let Some(csv) = csv {
                figcaption { a href=(csv) { "The figures of this picture as a table (CSV)" } }
            }
        }
    }
}

/// The same drawing without its own style sheet, which the page's policy would not take.
fn without_style(svg: &str) -> String {
    match (svg.find("<style>"), svg.find("</style>")) {
        (Some(from), Some(to)) if from < to => {
            format!("{}{}", &svg[..from], &svg[to + "</style>".len()..])
        }
        _ => svg.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::without_style;

    #[test]
    fn only_the_style_goes() {
        assert_eq!(without_style("<svg><style>.a{}</style><g/></svg>"), "<svg><g/></svg>");
        assert_eq!(without_style("<svg><g/></svg>"), "<svg><g/></svg>");
    }
}
