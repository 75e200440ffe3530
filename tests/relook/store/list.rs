//! The list of cases: a condition that very many cases answer is looked up another way than a rare
//! one, and both give every case once and in order.

use std::collections::BTreeSet;

use relook::case::list::{COUNT_AT_MOST, Filter, Listed, Sort, page};
use relook::case::search_sqlite::SearchQuery;
use relook::case::{Case, Month, Segment, Sight, Stage, store};

use crate::support::{TestApp, of};

/// More than a page, a count and the threshold of "common" together.
const MANY: i64 = 560;
const FEW: i64 = 7;

fn case(number: i64, mechanism: &str, word: &str, segment: Segment) -> Case {
    let month = Month::new(2015, 1).unwrap().plus(number * 37 % 130);
    let mut case = Case::first_entry(of(&format!("Case {number}")), month, of(mechanism), Some(of(word)));
    case.stage = if number % 2 == 0 { Stage::Ready } else { Stage::Recorded };
    case.complications[0].segment = Some(segment);
    case
}

async fn every_page(house: &TestApp, filter: &Filter) -> (Vec<Listed>, i64) {
    let mut conn = house.app.database.read().await.unwrap();
    let (mut rows, mut after, mut total) = (Vec::new(), None, None);
    loop {
        let found = page(&mut conn, (Sight::All, filter), after.as_ref()).await.unwrap();
        rows.extend(found.rows);
        total.get_or_insert(found.total);
        match found.next {
            Some(next) => after = Some(next),
            None => return (rows, total.unwrap()),
        }
    }
}

#[tokio::test]
async fn common_and_rare_conditions_give_every_case_once_and_in_order() {
    let house = TestApp::init().await;
    let now = house.app.now();
    let mut tx = house.app.database.write().await.unwrap();
    for number in 0..MANY {
        let case = case(number, "flow-no-reflow", "A calcified bend.", Segment::LadMid);
        store::insert(&mut tx, &case, None, now).await.unwrap();
    }
    for number in 0..FEW {
        let case = case(number, "sys-stroke", "A weak arm.", Segment::LcxPda);
        store::insert(&mut tx, &case, None, now).await.unwrap();
    }
    tx.commit().await.unwrap();

    let filters = |mechanism: &str, word: &str, segment| {
        [
            Filter { mechanism: Some(of(mechanism)), ..Filter::default() },
            Filter { words: SearchQuery::parse(word), ..Filter::default() },
            Filter { segment: Some(segment), ..Filter::default() },
            Filter {
                mechanism: Some(of(mechanism)),
                words: SearchQuery::parse(word),
                segment: Some(segment),
                sort: Sort::Oldest,
                ..Filter::default()
            },
        ]
    };
    for (filters, expected) in [
        (filters("flow-no-reflow", "calcified be", Segment::LadMid), MANY),
        (filters("sys-stroke", "weak arm", Segment::LcxPda), FEW),
    ] {
        for filter in filters {
            let (rows, total) = every_page(&house, &filter).await;
            assert_eq!(total, expected.min(COUNT_AT_MOST + 1), "{filter:?}");
            assert_eq!(i64::try_from(rows.len()).unwrap(), expected, "{filter:?}");
            let ids: BTreeSet<i64> = rows.iter().map(|row| row.id).collect();
            assert_eq!(ids.len(), rows.len(), "a case stands twice: {filter:?}");
            let sorted = rows.windows(2).all(|pair| {
                let (one, two) = ((pair[0].month, pair[0].id), (pair[1].month, pair[1].id));
                if filter.sort == Sort::Oldest { one < two } else { one > two }
            });
            assert!(sorted, "{filter:?}");
            if filter.words.is_some() {
                assert!(
                    rows.iter().all(|row| row.excerpt.as_deref().is_some_and(|text| text.contains('\u{1}')))
                );
            }
            let half = Filter { stages: vec![Stage::Ready], ..filter };
            let (rows, _) = every_page(&house, &half).await;
            assert_eq!(i64::try_from(rows.len()).unwrap(), (expected + 1) / 2, "{half:?}");
        }
    }
}
