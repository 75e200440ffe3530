//! What a form does with input that is wrong: it says what is allowed beside the field, keeps
//! everything that was typed, and changes nothing.

use crate::support::{Client, Page, StatusCode, TestApp};

/// How a field is answered: only what is typed stays as it was typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A text; it stays as it was typed, right or wrong.
    Typed,
    /// A choice; one that is not offered cannot stay chosen, so the message names it.
    Chosen,
}

/// A wrong value for a field, and words that the page must say about it.
pub struct Wrong {
    field: &'static str,
    value: Vec<u8>,
    says: String,
}

/// A form with values that are right.
pub struct Form {
    /// Where it is sent.
    pub path: String,
    /// Every field, with a right value and how it is answered.
    pub good: Vec<(&'static str, &'static str, Kind)>,
    /// Hidden fields that go with it.
    pub hidden: Vec<(&'static str, String)>,
}

/// A field's wrong values.
pub struct Field(pub &'static str);

impl Field {
    /// These values, each with these words said about it.
    pub fn wrong(&self, says: &str, values: &[&str]) -> Vec<Wrong> {
        values.iter().map(|value| self.bytes(says, value.as_bytes())).collect()
    }

    fn bytes(&self, says: &str, value: &[u8]) -> Wrong {
        Wrong { field: self.0, value: value.to_vec(), says: says.to_owned() }
    }

    /// Bytes that are no UTF-8: alone, overlong, half a pair, cut off.
    pub fn broken_bytes(&self) -> Vec<Wrong> {
        let broken: [&[u8]; 6] =
            [b"\xff", b"a\xc3(b", b"half \xe2\x82", b"\xed\xa0\x80", b"\xc0\xaf", b"\xf0\x9f\x92 end"];
        broken.iter().map(|bytes| self.bytes("did not arrive whole", bytes)).collect()
    }

    /// What a text of at most so many characters cannot be.
    pub fn text(&self, at_most: usize) -> Vec<Wrong> {
        let controls = ('\0'..=' ')
            .chain('\u{7f}'..'\u{a0}')
            .filter(|c| c.is_control() && !['\t', '\n', '\r'].contains(c))
            .map(|c| self.bytes("invisible control character", format!("be{c}fore").as_bytes()));
        let long = [at_most + 1, at_most + 57, 60_000.max(at_most * 2)].map(|length| {
            self.bytes(&format!("At most {at_most} characters"), "ä".repeat(length).as_bytes())
        });
        long.into_iter()
            .chain(controls.step_by(if at_most < 20_000 { 8 } else { 1 }))
            .chain(self.broken_bytes())
            .collect()
    }

    /// What one of a closed list of words cannot be.
    pub fn word(&self, list: &str) -> Vec<Wrong> {
        let long = "x".repeat(5_000);
        let values = [
            "nonsense",
            "RADIAL",
            "nöne",
            "none;",
            "<script>alert(1)</script>",
            "' or 1=1 --",
            "0x1",
            "a b",
            "\u{7}",
            &long,
        ];
        self.wrong(&format!("is not {list}"), &values)
            .into_iter()
            .chain(self.broken_bytes().into_iter().take(2))
            .collect()
    }

    /// What the key of an event of the case cannot be.
    pub fn event_key(&self) -> Vec<Wrong> {
        let long = "e".repeat(41);
        self.wrong("No event of this case has the key", &["e99", "nothing-here"])
            .into_iter()
            .chain(self.wrong("A key is", &["E1", "1e", "é1", "e 1", "<i>", "-1", &long]))
            .chain(self.broken_bytes().into_iter().take(1))
            .collect()
    }

    /// What a month cannot be.
    pub fn month(&self) -> Vec<Wrong> {
        let values = [
            "2026",
            "2026-13",
            "2026-00",
            "26-01",
            "2026-1",
            "2026-01-05",
            "January 2026",
            "2026/01",
            "1989-12",
            "2101-01",
            "-2026-01",
            "２０２６-01",
            "2026-0x",
            "9999999999999-01",
            "2026–01",
            "0000-00",
            "2026-01\0",
            "<b>2026-01</b>",
            "--",
        ];
        self.wrong("A month is a year and a month", &values).into_iter().chain(self.broken_bytes()).collect()
    }

    /// What a whole number cannot be.
    pub fn whole_number(&self, says: &str) -> Vec<Wrong> {
        let values = [
            "many",
            "-5",
            "4.5",
            "4,5",
            "1e2",
            "0x40",
            "٦٤",
            "NaN",
            "inf",
            "99999",
            "99999999999999999999999999",
            "60 or so",
            "6 0",
            "½",
            "+",
            "-",
            "sixty",
            "<i>60</i>",
            "60\u{7}",
        ];
        self.wrong(says, &values).into_iter().chain(self.broken_bytes().into_iter().take(2)).collect()
    }

    /// What must be there and is not.
    pub fn missing(&self, says: &str) -> Vec<Wrong> {
        self.wrong(says, &["", "   ", "\t\r\n ", "\u{a0}\u{2003}"])
    }
}

fn percent(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("%{byte:02X}")).collect()
}

/// A value as it reads in a page: line ends and bytes that a page cannot hold are changed by reading.
fn as_read(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).replace("\r\n", "\n").replace('\r', "\n").replace('\0', "\u{fffd}")
}

impl Form {
    /// Sends the form with one field wrong.
    async fn send(&self, client: &Client, wrong: &Wrong) -> Page {
        let mut pairs: Vec<String> =
            self.hidden.iter().map(|(name, value)| format!("{name}={}", percent(value.as_bytes()))).collect();
        for (name, good, _) in &self.good {
            let value = if *name == wrong.field { &wrong.value } else { good.as_bytes() };
            pairs.push(format!("{name}={}", percent(value)));
        }
        assert!(self.good.iter().any(|(name, ..)| *name == wrong.field), "the form has no {}", wrong.field);
        client.post_body(&self.path, "application/x-www-form-urlencoded", pairs.join("&").into_bytes()).await
    }

    /// What the page still holds: each typed value, and each choice that was offered.
    fn check_kept(&self, page: &Page, wrong: &Wrong, what: &str) {
        for (name, good, kind) in &self.good {
            let is_wrong = *name == wrong.field;
            match (kind, is_wrong) {
                (Kind::Chosen, true) => {}
                (_, true) => {
                    assert_eq!(page.value(name), as_read(&wrong.value), "{what}: {name} is not as typed")
                }
                (_, false) => assert_eq!(page.value(name), *good, "{what}: {name} was lost"),
            }
        }
    }

    /// Sends every wrong value, each alone in a form that is otherwise right, and checks what comes
    /// back. At least forty, so that a table that shrinks fails.
    pub async fn refuses(&self, app: &TestApp, client: &Client, table: Vec<Wrong>) {
        assert!(table.len() >= 40, "{}: only {} wrong inputs", self.path, table.len());
        let before = state(app).await;
        for wrong in &table {
            let shown: String = String::from_utf8_lossy(&wrong.value).chars().take(40).collect();
            let what = format!("{} with {} = {shown:?}", self.path, wrong.field);
            let page = self.send(client, wrong).await;
            assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{what}: {page}");
            let message = page.error_of(wrong.field).unwrap_or_default();
            assert!(message.contains(&wrong.says), "{what}: says {message:?} and not {:?}", wrong.says);
            assert!(!page.html.contains("<script>alert"), "{what}: is not escaped");
            self.check_kept(&page, wrong, &what);
            assert_eq!(page.notice(), None, "{what}: a notice says something was done");
        }
        assert_eq!(state(app).await, before, "{}: something was saved", self.path);
        println!("{}: {} wrong inputs", self.path, table.len());
    }
}

/// Everything that is stored of cases, to see that nothing changed.
async fn state(app: &TestApp) -> Vec<String> {
    let mut conn = app.app.database.read().await.unwrap();
    let mut all = Vec::new();
    for code in relook::case::store::codes(&mut conn).await.unwrap() {
        all.push(format!("{:?}", relook::case::store::find(&mut conn, code).await.unwrap()));
    }
    all
}

/// One table from several.
pub fn together(tables: impl IntoIterator<Item = Vec<Wrong>>) -> Vec<Wrong> {
    tables.into_iter().flatten().collect()
}
