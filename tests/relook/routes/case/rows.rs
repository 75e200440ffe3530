//! The lists of a case: a row is added, changed, taken out and put back.

use crate::support::{CaseBuilder, Client, Page, StatusCode, TestApp};

/// A list: its place in the address and on the page, what a row is called, what to type first and
/// what then, and what the page shows of each.
struct List {
    slug: &'static str,
    noun: &'static str,
    first: &'static [(&'static str, &'static str)],
    first_reads: &'static str,
    then: &'static [(&'static str, &'static str)],
    then_reads: &'static str,
}

const LISTS: [List; 6] = [
    List {
        slug: "lesions",
        noun: "lesion",
        first: &[
            ("segment", "lcx-distal"),
            ("medina", "1,1,1"),
            ("length_mm", "24"),
            ("reference_mm", "2,75"),
            ("cto", "yes"),
        ],
        first_reads: "24 mm long; reference 2.75 mm; Medina 1,1,1, a true bifurcation; chronic total occlusion.",
        then: &[("length_mm", "28"), ("ostial", "yes"), ("calcification", "severe")],
        then_reads: "28 mm long; reference 2.75 mm; calcification severe; Medina 1,1,1, a true bifurcation; chronic total occlusion; ostial.",
    },
    List {
        slug: "complications",
        noun: "complication",
        first: &[
            ("mechanism", "branch-jailed"),
            ("segment", "diagonal-1"),
            ("began", "e1"),
            ("recognised", "e2"),
        ],
        first_reads: "Began at event 1, recognised at 2",
        then: &[("controlled", "e3"), ("worst_flow", "0")],
        then_reads: "Began at event 1, recognised at 2, controlled at 3",
    },
    List {
        slug: "causes",
        noun: "cause",
        first: &[("cause", "th-fixation"), ("statement", "All looked at the wire."), ("shown_by", "e2")],
        first_reads: "All looked at the wire.",
        then: &[("statement", "All looked at the wire, so nobody saw the pressure.")],
        then_reads: "All looked at the wire, so nobody saw the pressure.",
    },
    List {
        slug: "decisions",
        noun: "decision point",
        first: &[
            ("at", "+3:00"),
            ("question", "Flow is gone. What next?"),
            ("option-1", "Wire the branch"),
            ("option-2", "Accept it"),
            ("against-2", "It is large."),
            ("chosen", "2"),
        ],
        first_reads: "Chosen: option 2, Accept it.",
        then: &[("question", "Flow is gone and the pressure falls. What next?")],
        then_reads: "Flow is gone and the pressure falls. What next?",
    },
    List {
        slug: "lessons",
        noun: "lesson",
        first: &[("kind", "recognise"), ("text", "Look at the pressure."), ("event", "e2")],
        first_reads: "Look at the pressure.",
        then: &[("text", "Look at the pressure after every balloon.")],
        then_reads: "Look at the pressure after every balloon.",
    },
    List {
        slug: "actions",
        noun: "action",
        first: &[
            ("what", "A second wire in the room"),
            ("owner", "cath-lab lead nurse"),
            ("due", "2026-12-01"),
            ("kind", "forcing-function"),
            ("measure", "Of 20 sets, all hold one."),
        ],
        first_reads: "Due 1 December 2026.",
        then: &[("due", "2027-01-15"), ("state", "done")],
        then_reads: "Done. It was due 15 January 2027.",
    },
];

async fn with_a_case() -> (TestApp, String) {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Rows")
        .event("+1:00", "wire", "Wire down the LAD")
        .flow("+2:00", "diagonal-1", 0)
        .flow("+9:00", "diagonal-1", 3)
        .insert(&app)
        .await;
    let path = format!("/cases/{}", case.code);
    (app, path)
}

fn list_text(page: &Page, slug: &str) -> String {
    page.texts(&format!("#{slug} .part-body")).join(" ")
}

/// The address of the form of the list's only row.
fn edit_link(page: &Page, path: &str, slug: &str) -> String {
    let selector = format!("a[href^='{path}/{slug}/'][href$='/edit']");
    assert_eq!(page.count(&selector), 1, "{page}");
    page.attr(&selector, "href").unwrap()
}

async fn saved(client: &Client, answer: &Page, path: &str, anchor: &str) -> Page {
    answer.expect(StatusCode::SEE_OTHER);
    assert_eq!(answer.location(), format!("{path}#{anchor}"));
    let page = client.follow(answer).await;
    page.expect(StatusCode::OK);
    page
}

#[tokio::test]
async fn every_list_takes_a_new_row_and_a_change_to_it() {
    for list in &LISTS {
        let (app, path) = with_a_case().await;
        let client = app.with_attending().await;
        let form = client.get(&format!("{path}/{}/new", list.slug)).await;
        form.expect(StatusCode::OK);
        let answer = client.submit(&form, &format!("{path}/{}", list.slug), list.first).await;
        let page = saved(&client, &answer, &path, list.slug).await;
        assert!(list_text(&page, list.slug).contains(list.first_reads), "{}", list_text(&page, list.slug));

        let edit = edit_link(&page, &path, list.slug);
        let form = client.get(&edit).await;
        for (name, typed) in list.first {
            let held = form.value(name).replace('.', ",");
            assert_eq!(held, typed.replace('.', ","), "{}: {name}", list.slug);
        }
        let answer = client.submit(&form, edit.trim_end_matches("/edit"), list.then).await;
        let page = saved(&client, &answer, &path, list.slug).await;
        assert!(list_text(&page, list.slug).contains(list.then_reads), "{}", list_text(&page, list.slug));
    }
}

#[tokio::test]
async fn a_row_that_is_taken_out_comes_back_as_it_was() {
    for list in &LISTS {
        let (app, path) = with_a_case().await;
        let client = app.with_attending().await;
        let answer = client.post(&format!("{path}/{}", list.slug), list.first).await;
        let before = saved(&client, &answer, &path, list.slug).await;
        let edit = edit_link(&before, &path, list.slug);
        let answer = client.press(&client.get(&edit).await, "Take it out").await;
        let without = saved(&client, &answer, &path, list.slug).await;
        assert_eq!(without.notice(), Some(format!("The {} is taken out.", list.noun)));
        assert!(!list_text(&without, list.slug).contains(list.first_reads), "{without}");
        // What is out has no form and cannot be taken out again.
        client.get(&edit).await.expect(StatusCode::NOT_FOUND);
        client.post(&edit.replace("/edit", "/remove"), &[]).await.expect(StatusCode::NOT_FOUND);

        assert_eq!(without.undo(), Some(edit.replace("/edit", "/put-back")));
        let answer = client.press(&without, "Undo").await;
        let again = saved(&client, &answer, &path, list.slug).await;
        assert_eq!(again.notice(), Some(format!("The {} is back.", list.noun)));
        assert_eq!(list_text(&again, list.slug), list_text(&before, list.slug));
    }
}

#[tokio::test]
async fn an_event_that_is_taken_out_comes_back_with_what_points_to_it() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Linked").complete().insert(&app).await;
    let client = app.with_fellow().await;
    let path = format!("/cases/{}", case.code);
    let before = client.get(&path).await;
    let five = before.attr("#event-5 a", "href").unwrap();
    let answer = client.press(&client.get(&five).await, "Take it out").await;
    let without = saved(&client, &answer, &path, "timeline").await;
    assert_eq!(without.notice().unwrap(), "The event is taken out.");
    assert_eq!(without.count("tr[id^='event-']"), 7);
    assert!(
        !list_text(&without, "complications").contains("recognised at 5"),
        "{}",
        list_text(&without, "complications")
    );

    let answer = client.press(&without, "Undo").await;
    let again = saved(&client, &answer, &path, "timeline").await;
    for part in ["timeline", "complications", "causes"] {
        assert_eq!(list_text(&again, part), list_text(&before, part));
    }
}

#[tokio::test]
async fn an_event_is_changed_in_its_form() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Changed").complete().insert(&app).await;
    let client = app.with_fellow().await;
    let path = format!("/cases/{}", case.code);
    let edit = client.get(&path).await.attr("#event-6 a", "href").unwrap();
    let form = client.get(&edit).await;
    assert_eq!(
        (form.value("at"), form.value("kind"), form.value("text")),
        ("+15:00".into(), "symptom".into(), "Chest pain".into())
    );
    let typed = [
        ("at", "16"),
        ("sure", "within 2 min"),
        ("pressure", "92/54"),
        ("heart_rate", "104"),
        ("device", "microcatheter"),
    ];
    let answer = client.submit(&form, edit.trim_end_matches("/edit"), &typed).await;
    let page = saved(&client, &answer, &path, "timeline").await;
    let row = page.texts("#event-6 td").join(" | ");
    for part in ["+16:00", "2 min", "Symptom", "Chest pain", "Microcatheter", "92/54 · 104"] {
        assert!(row.contains(part), "{part}: {row}");
    }
}

#[tokio::test]
async fn a_leaf_that_the_department_retired_stays_with_the_rows_that_have_it() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Retired").complete().insert(&app).await;
    app.execute(
        "update mechanisms set retired = 1 where slug in ('flow-no-reflow', 'stent-edge-dissection')",
    )
    .await;
    app.execute("update cause_leaves set retired = 1 where slug = 'tk-plan-single'").await;
    app.app.reload_vocabulary().await.unwrap();
    let client = app.with_attending().await;
    let path = format!("/cases/{}", case.code);
    let page = client.get(&path).await;
    for (list, name) in [("complications", "mechanism"), ("causes", "cause")] {
        let selector = format!("a[href^='{path}/{list}/'][href$='/edit']");
        for index in 0..page.count(&selector) {
            let edit = page.attr(&format!("#{list} li:nth-child({}) a.edit", index + 1), "href").unwrap();
            let form = client.get(&edit).await;
            assert_ne!(form.value(name), "", "{edit}: the retired leaf is not chosen any more");
            let answer = client.submit(&form, edit.trim_end_matches("/edit"), &[]).await;
            answer.expect(StatusCode::SEE_OTHER);
        }
    }
}
