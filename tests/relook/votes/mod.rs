//! Votes of the room: one a device, closed by the presenter, kept with the case; and the second door,
//! which leads to nothing else.

mod door;
mod many;
mod phone;
mod presenter;
mod store;

use relook::conference::votes::store::{self as votes, Opened};
use relook::conference::votes::{Ballot, Phase, Poll, PollCode};

use crate::support::{CaseBuilder, Placed, TestApp, of};

const QUESTION: &str = "The wire tip is out of view. What next?";
const OPTIONS: [&str; 3] = ["Advance it", "Take a second view", "Pull it back & wait"];

fn ballot() -> Ballot {
    Ballot::new(QUESTION, &OPTIONS.map(str::to_owned)).unwrap()
}

/// A case with much of what followed in it.
async fn case(app: &TestApp) -> Placed {
    CaseBuilder::new("What followed is a dissection").complete().insert(app).await
}

/// Opens a poll of decision `d1` of a case; none when one is open.
async fn open_in(app: &TestApp, case: Placed, phase: Phase) -> Option<PollCode> {
    let id = app.case(case.code).await.id;
    let code = PollCode::generate().unwrap();
    let mut tx = app.app.database.write().await.unwrap();
    let asked = (id, &of("d1"), phase);
    let opened = votes::open(&mut tx, asked, &ballot(), &code, app.app.now()).await.unwrap();
    tx.commit().await.unwrap();
    (opened == Opened::New).then_some(code)
}

/// Opens a poll of a case of its own.
async fn open(app: &TestApp) -> PollCode {
    let case = case(app).await;
    open_in(app, case, Phase::Before).await.unwrap()
}

async fn close(app: &TestApp, code: &PollCode) {
    let mut tx = app.app.database.write().await.unwrap();
    votes::close(&mut tx, code, app.app.now()).await.unwrap();
    tx.commit().await.unwrap();
}

async fn poll(app: &TestApp, code: &PollCode) -> Poll {
    votes::find(&mut app.app.database.read().await.unwrap(), code).await.unwrap().unwrap()
}

/// The votes from phones, option by option.
async fn phones(app: &TestApp, code: &PollCode) -> Vec<u32> {
    poll(app, code).await.options.iter().map(|option| option.phones).collect()
}
