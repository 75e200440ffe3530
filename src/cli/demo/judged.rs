//! What the invented reviewers think of the invented cases.

use anyhow::Context;
use sqlx::SqliteConnection;

use crate::accounts::Role;
use crate::case::{self, CaseCode, Day};
use crate::review::judgement::{Avoidability, Care, Judgement, store};

/// A judgement: whose, of which case, how avoidable, how the care went, and why.
type Given = (Role, &'static str, Avoidability, Care, &'static str);

/// Cases that were presented have two or three judgements, as far apart as reviewers are; of those that
/// are ready the attending alone has judged, so that the others meet a closed page.
const GIVEN: &[Given] = {
    use Avoidability::{Definitely, DefinitelyNot, Possibly, Probably, Slight, Strong};
    use Care::{AsMost, MostDifferently, SomeDifferently};
    use Role::{Attending, Fellow, QualityLead};
    &[
        (Fellow, "2024-001", Slight, AsMost, ""),
        (Attending, "2024-001", Possibly, AsMost, "The drugs were in the room, and nobody had mixed them."),
        (QualityLead, "2024-001", Possibly, SomeDifferently, ""),
        (Fellow, "2025-001", Possibly, SomeDifferently, "The branch could have been wired first."),
        (Attending, "2025-001", Probably, SomeDifferently, ""),
        (Fellow, "2025-003", DefinitelyNot, AsMost, ""),
        (Attending, "2025-003", Slight, AsMost, "The tip was watched as most of us would."),
        (QualityLead, "2025-003", Possibly, SomeDifferently, "The effusion was looked for late."),
        (Fellow, "2025-004", Strong, SomeDifferently, "A damped pressure and a full injection."),
        (Attending, "2025-004", Definitely, MostDifferently, ""),
        (QualityLead, "2025-004", Probably, SomeDifferently, ""),
        (Fellow, "2025-006", Slight, AsMost, ""),
        (Attending, "2025-006", Strong, SomeDifferently, "The burr was pushed after it had slowed."),
        (Fellow, "2025-007", Possibly, AsMost, ""),
        (
            Attending,
            "2025-007",
            Probably,
            SomeDifferently,
            "A second view before the balloon costs a minute.",
        ),
        (QualityLead, "2025-007", Probably, AsMost, ""),
        (Attending, "2026-005", Slight, AsMost, ""),
        (Attending, "2026-006", Possibly, SomeDifferently, "The balloon was a size up from the reference."),
    ]
};

/// Puts the judgements into the record, each given on its own.
pub(super) async fn judge(
    conn: &mut SqliteConnection,
    people: &[(Role, i64)],
    today: Day,
) -> anyhow::Result<()> {
    for (role, code, avoidability, care, remark) in GIVEN {
        let code: CaseCode = code.parse()?;
        let case = case::store::find_id(conn, code)
            .await?
            .with_context(|| format!("The demo's case {code} is missing"))?;
        let (_, user) = people
            .iter()
            .find(|(held, _)| held == role)
            .with_context(|| format!("Nobody of the demo is a {role}"))?;
        let remark = if remark.is_empty() { None } else { Some(remark.parse()?) };
        let judgement = Judgement { avoidability: *avoidability, care: *care, remark };
        store::give_own(conn, case, *user, &judgement, today).await?;
    }
    Ok(())
}
