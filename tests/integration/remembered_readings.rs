//! How a supplier's file was read is remembered for the next one, and left out where the next one's bytes speak against
//! it.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use crate::owner_bench::Owner;

/// A model called Łódź in ISO-8859-2, to which the evidence leads; in windows-1252 its bytes are £ód¼.
fn in_latin_2(number: &str) -> Vec<u8> {
    [b"Maker,Style number,Model\nFeldrast,", number.as_bytes(), b",\xa3\xf3d\xbc\n"].concat()
}

#[tokio::test]
async fn an_encoding_that_was_said_is_taken_for_the_suppliers_next_sheet_and_can_be_taken_back() {
    let owner = Owner::new();
    let (sheet, page) = owner.preview("range.csv", &in_latin_2("FR-1")).await;
    assert!(page.says("Łódź"), "{}", page.text());
    owner.post(&format!("{sheet}/mapping"), &[("encoding", "windows-1252")]).await;
    assert!(owner.get(&sheet).await.says("£ód¼"));
    owner.apply(&sheet).await;
    let (next, page) = owner.preview("autumn.csv", &in_latin_2("FR-2")).await;
    assert!(page.says("£ód¼") && page.says("as on 1 January 1970"), "{}", page.text());
    owner.post(&format!("{next}/mapping"), &[("encoding", "")]).await;
    assert!(owner.get(&next).await.says("Łódź"));
}

#[tokio::test]
async fn a_row_of_headings_that_was_said_is_taken_only_where_it_holds_the_same_headings() {
    let owner = Owner::new();
    // Two rows read like headings; the upper one is what was meant for the season before.
    let sheet = |number: &str| {
        format!("Maker,Style number,Notes\nMaker,Style number,Model\nFeldrast,{number},Egge\n").into_bytes()
    };
    let (first, _) = owner.preview("range.csv", &sheet("FR-1")).await;
    owner.post(&format!("{first}/mapping"), &[("tab-0-row", "2")]).await;
    assert!(owner.get(&first).await.says("headings in row 2"), "{}", owner.get(&first).await.text());
    owner.apply(&first).await;
    let (_, page) = owner.preview("autumn.csv", &sheet("FR-2")).await;
    assert!(page.says("headings in row 2") && page.says("as on 1 January 1970"), "{}", page.text());
    let (_, other) = owner.preview("other.csv", b"Maker,Style number,Weight g\nFeldrast,FR-3,250\n").await;
    assert!(other.says("headings in row 1"), "row 2 holds no headings there: {}", other.text());
}

/// What was said of a file in windows-1252 would turn every accent of one in UTF-8 to rubbish, and no heading shows it.
#[tokio::test]
async fn an_encoding_that_was_said_is_left_out_where_the_bytes_leave_no_doubt_of_another() {
    let owner = Owner::new();
    let (sheet, _) = owner.preview("range.csv", &in_latin_2("FR-1")).await;
    owner.post(&format!("{sheet}/mapping"), &[("encoding", "windows-1252")]).await;
    owner.apply(&sheet).await;
    let utf_8 = "Maker,Style number,Model\nFeldrast,FR-2,Grège\n".as_bytes();
    let (next, page) = owner.preview("autumn.csv", utf_8).await;
    assert!(page.says("Grège") && !page.says("GrÃ¨ge"), "{}", page.text());
    assert!(page.says("The last sheet with these headings was read otherwise (as windows-1252)."));
    assert!(page.says("UTF-8 (every byte reads so)"), "{}", page.text());
    owner.post(&format!("{next}/mapping"), &[("maker", "")]).await;
    assert!(owner.get(&next).await.says("Grège"), "nor does reading it again bring it back");
    owner.apply(&next).await;
    let (_, page) = owner.preview("winter.csv", &in_latin_2("FR-3")).await;
    assert!(page.says("Łódź"), "what was left out is not remembered again: {}", page.text());
}

#[tokio::test]
async fn a_delimiter_that_was_said_is_left_out_where_it_does_not_split_the_next_sheet() {
    let owner = Owner::new();
    let (sheet, _) = owner.preview("range.csv", b"Maker;Style number;Model\nFeldrast;FR-1;Egge\n").await;
    owner.post(&format!("{sheet}/mapping"), &[("delimiter", "semicolon")]).await;
    owner.apply(&sheet).await;
    let (next, page) = owner.preview("autumn.csv", b"Maker,Style number,Model\nFeldrast,FR-2,Ulme\n").await;
    assert!(page.says("columns split at commas"), "{}", page.text());
    assert!(page.says("That does not fit this one; it is read by its own evidence"), "{}", page.text());
    assert_eq!(owner.apply(&next).await.to, "/changes?done=2");
}
