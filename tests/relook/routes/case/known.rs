//! What was known at an event, and nothing of what came later.

use crate::support::{CaseBuilder, StatusCode, TestApp};

#[tokio::test]
async fn nothing_that_came_later_stands_on_the_page_or_in_its_source() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Hindsight")
        .narrative("Later everybody knew the ending.")
        .mechanism("flow-thrombus")
        .at_segment("lad-mid")
        .event("-10:00", "access", "Sheath in")
        .flow("+2:00", "lad-mid", 3)
        .event("+8:00", "decision", "Inflate or look again?")
        .flow("+12:00", "lad-mid", 0)
        .event("+20:00", "stent", "Bail-out stent")
        .linked("e4", "e4", "e5")
        .lesson("prevent", "Look again before you inflate.")
        .insert(&app)
        .await
        .code;
    let client = app.with_fellow().await;
    for test in [("-1h", "-30", "12"), ("+5", "+1h", "8")] {
        let (drawn, returned, value) = test;
        let fields = [
            ("test", "haemoglobin"),
            ("drawn", drawn),
            ("returned", returned),
            ("value", value),
            ("value_unit", "g/dL"),
        ];
        client.post(&format!("/cases/{case}/labs"), &fields).await.expect(StatusCode::SEE_OTHER);
    }
    let page = client.get(&format!("/cases/{case}/known/3")).await;
    assert_eq!(page.heading(), "What was known at +8:00");
    for known in ["Sheath in", "TIMI 3", "12 g/dL", "Haemoglobin, drawn at +5:00."] {
        assert!(page.html.contains(known), "{known}: {page}");
    }
    for later in
        ["Bail-out stent", "TIMI 0", "8 g/dL", "everybody knew", "Look again before", "Thrombus", "+12:00:"]
    {
        assert!(!page.html.contains(later), "{later}: {page}");
    }
    assert!(page.text.contains("2 events came later"), "{page}");
    assert!(
        page.links_to(&format!("/cases/{case}/known/2")) && page.links_to(&format!("/cases/{case}/known/4"))
    );
    let last = client.get(&format!("/cases/{case}/known/5")).await;
    assert!(last.text.contains("This is the last event."), "{last}");
    for nothing in ["0", "6", "x"] {
        let page = client.get(&format!("/cases/{case}/known/{nothing}")).await;
        assert!(page.status.is_client_error(), "{nothing}: {page}");
    }
}
