//! The pages: one file a page, a struct of decided data and its view.
//!
//! `page.view(&frame)` is the whole answer. Titles hold nothing about a runner, so that histories and logs do not.

pub mod card;
pub mod card_text;
pub mod changes;
pub mod changes_one;
pub mod changes_undo;
pub mod compare;
pub mod count;
pub mod day;
pub mod desk;
pub mod edit;
pub mod edit_size;
pub mod fitting_close;
mod fitting_further;
pub mod fitting_runner;
pub mod fitting_stock;
pub mod gaps;
pub mod kept;
pub mod on_foot;
pub mod plan;
pub mod policy;
pub mod refusal;
pub mod rules;
#[cfg(test)]
pub(crate) mod sample;
pub mod scan;
pub mod scan_attach;
pub mod scanner;
pub mod sessions;
pub mod sheet;
pub mod sheet_changes;
pub mod sheet_findings;
pub mod sheet_headings;
pub mod sheet_working;
pub mod sheets;
pub mod shoe;
pub mod shoe_similar;
pub mod shoes;
pub mod sign_in;
pub mod size_charts;
pub mod sources;
pub mod staff;
pub mod stock_map;
pub mod stopped;
pub mod synonyms;
pub mod unsupported;
pub mod why;
pub mod why_above;

#[cfg(test)]
mod tests {
    use super::sample::gallery;

    #[test]
    fn every_page_has_one_heading_and_no_script_and_no_inline_style() {
        for (name, html) in gallery() {
            assert_eq!(html.matches("<h1").count(), 1, "{name}");
            assert!(
                html.matches("<script").count() == 1
                    && !html.contains("style=\"")
                    && !html.contains("<style"),
                "{name}"
            );
            assert!(!html.contains(" onclick") && !html.contains("javascript:"), "{name}");
        }
    }

    #[test]
    fn every_drawing_has_its_twin_in_words_or_is_hidden_from_those_who_do_not_see() {
        for (name, html) in gallery() {
            for svg in html.split("<svg").skip(1).filter_map(|rest| rest.split('>').next()) {
                assert!(svg.contains("aria-label=\"") || svg.contains("aria-hidden"), "{name}: {svg}");
            }
        }
    }

    #[test]
    fn no_id_stands_twice_on_a_page() {
        for (name, html) in gallery() {
            let mut ids: Vec<&str> =
                html.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
            let all = ids.len();
            ids.sort_unstable();
            ids.dedup();
            assert_eq!(ids.len(), all, "{name}");
        }
    }

    #[test]
    fn what_comes_from_a_sheet_is_escaped() {
        let mut page = super::sample::shoe_page();
        page.name = "<script>x</script>".into();
        let html = page.view(&super::sample::frame(None)).into_string();
        assert!(!html.contains("<script>") && html.contains("&lt;script&gt;"));
    }

    /// For the eye: writes every page into the folder that `LASTBENCH_LOOK` names.
    #[test]
    #[ignore = "writes files; run by hand with LASTBENCH_LOOK=some-folder"]
    fn the_pages_are_written_out_to_be_looked_at() {
        let folder = std::path::PathBuf::from(std::env::var_os("LASTBENCH_LOOK").unwrap());
        std::fs::create_dir_all(&folder).unwrap();
        for (name, html) in gallery() {
            std::fs::write(folder.join(name).with_extension("html"), html).unwrap();
        }
        std::fs::write(folder.join("style.css"), include_str!("../assets/style.css")).unwrap();
        std::fs::write(folder.join("icon.svg"), include_str!("../assets/icon.svg")).unwrap();
    }
}
