//! Cases for tests, told in a few words.

use relook::accounts::Role;
use relook::case::{
    Access, Action, ActionState, Age, Case, CaseCode, Cause, Complication, Decision, DecisionOption, Event,
    Harm, Key, Lesion, Lesson, Presentation, Sex, Stage, Strength, Urgency, Weight, check, store,
};

use super::app::TestApp;
use super::of;

/// A case that is stored.
#[derive(Debug, Clone, Copy)]
pub struct Placed {
    /// Its code.
    pub code: CaseCode,
    /// Its number in the database.
    pub id: i64,
}

/// A case in the making. Its events have the keys `e1`, `e2` …, its complications `c1`, `c2` …, in
/// the order in which they were added.
pub struct CaseBuilder {
    case: Case,
    recorded_by: Option<Role>,
}

impl CaseBuilder {
    /// A case of January 2026, recorded by the fellow, that holds nothing but a title.
    pub fn new(title: &str) -> Self {
        let mut case = Case::first_entry(of(title), of("2026-01"), of("flow-no-reflow"), None);
        case.complications.clear();
        Self { case, recorded_by: Some(Role::Fellow) }
    }

    /// Changes anything.
    pub fn with(mut self, change: impl FnOnce(&mut Case)) -> Self {
        change(&mut self.case);
        self
    }

    /// The month of the procedure.
    pub fn month(self, month: &str) -> Self {
        self.with(|case| case.month = of(month))
    }

    /// How far it has come.
    pub fn stage(self, stage: Stage) -> Self {
        self.with(|case| case.stage = stage)
    }

    /// The situation in two sentences.
    pub fn situation(self, text: &str) -> Self {
        self.with(|case| case.situation = Some(of(text)))
    }

    /// The story.
    pub fn narrative(self, text: &str) -> Self {
        self.with(|case| case.narrative = Some(of(text)))
    }

    /// What time zero is.
    pub fn time_zero(self, text: &str) -> Self {
        self.with(|case| case.time_zero = Some(of(text)))
    }

    /// Another complication, an index harm.
    pub fn mechanism(self, slug: &str) -> Self {
        self.with(|case| {
            let key = of(&format!("c{}", case.complications.len() + 1));
            case.complications.push(Complication { key, ..Complication::of(of(slug)) });
        })
    }

    /// Another complication, a consequence of the one before.
    pub fn consequence(self, slug: &str) -> Self {
        let before = self.case.complications.last().map(|complication| complication.key.clone());
        assert!(before.is_some(), "a consequence needs a complication before it");
        let builder = self.mechanism(slug);
        builder.with(|case| last(&mut case.complications).consequence_of = before)
    }

    /// Where the last complication is.
    pub fn at_segment(self, segment: &str) -> Self {
        self.with(|case| last(&mut case.complications).segment = Some(of(segment)))
    }

    /// The events at which the last complication began, was recognised and was controlled.
    pub fn linked(self, began: &str, recognised: &str, controlled: &str) -> Self {
        self.with(|case| {
            let complication = last(&mut case.complications);
            complication.began = Some(of(began));
            complication.recognised = Some(of(recognised));
            complication.controlled = Some(of(controlled));
        })
    }

    fn push_event(self, time: &str, kind: &str, change: impl FnOnce(&mut Event)) -> Self {
        self.with(|case| {
            let key = of(&format!("e{}", case.events.len() + 1));
            let mut event = Event::new(key, of(time), of(kind));
            change(&mut event);
            case.events.push(event);
        })
    }

    /// An event.
    pub fn event(self, time: &str, kind: &str, text: &str) -> Self {
        self.push_event(time, kind, |event| event.text = Some(of(text)))
    }

    /// A look at the flow.
    pub fn flow(self, time: &str, segment: &str, grade: u8) -> Self {
        self.push_event(time, "flow", |event| {
            event.segment = Some(of(segment));
            event.flow = Some(of(&grade.to_string()));
        })
    }

    /// A lesion.
    pub fn lesion(self, segment: &str) -> Self {
        self.with(|case| {
            case.lesions.push(Lesion {
                segment: of(segment),
                calcification: None,
                tortuosity: None,
                medina: None,
                cto: false,
                ostial: false,
                length_mm: None,
                reference_mm: None,
            });
        })
    }

    /// A cause, shown by the first event when there is one.
    pub fn cause(self, slug: &str, statement: &str) -> Self {
        self.with(|case| {
            let shown_by: Vec<Key> = case.events.first().map(|event| event.key.clone()).into_iter().collect();
            case.causes.push(Cause {
                cause: of(slug),
                statement: of(statement),
                weight: Weight::default(),
                shown_by,
            });
        })
    }

    /// A decision point with these options, of which none is said to have been chosen.
    pub fn decision(self, key: &str, at: &str, question: &str, options: &[&str]) -> Self {
        self.with(|case| {
            let option = |text: &&str| DecisionOption {
                text: of(text),
                reasons_for: Vec::new(),
                reasons_against: Vec::new(),
            };
            case.decisions.push(Decision {
                key: of(key),
                at: of(at),
                question: of(question),
                options: options.iter().map(option).collect(),
                chosen: None,
                chosen_by: None,
                followed: None,
            });
        })
    }

    /// A lesson that waits for a signature.
    pub fn lesson(self, kind: &str, text: &str) -> Self {
        self.with(|case| {
            case.lessons.push(Lesson {
                kind: of(kind),
                text: of(text),
                event: None,
                decision: None,
                reference: None,
                recurring: None,
                signed_by: None,
                signed_on: None,
            });
        })
    }

    /// A lesson that is signed.
    pub fn signed_lesson(self, kind: &str, text: &str) -> Self {
        self.lesson(kind, text).with(|case| {
            let lesson = last(&mut case.lessons);
            lesson.signed_by = Some(of("Ada Attending"));
            lesson.signed_on = Some(of("2026-02-10"));
        })
    }

    /// Its last lesson rests on a publication: the handbook of the DOI itself.
    pub fn in_print(self) -> Self {
        self.with(|case| last(&mut case.lessons).reference = Some(of("10.1000/182")))
    }

    /// An open action.
    pub fn action(self, what: &str, due: &str) -> Self {
        self.with(|case| {
            case.actions.push(Action {
                what: of(what),
                owner: of("cath-lab lead nurse"),
                due: of(due),
                strength: Strength::Intermediate,
                kind: None,
                for_cause: None,
                for_mechanism: None,
                target: None,
                measure: Some(of("Of 20 sets opened in a month, all hold one.")),
                state: ActionState::Open,
                done_on: None,
            });
        })
    }

    /// All that a ready case holds: eight events with a lost and a restored flow, a chain of two
    /// harms, a cause, a signed lesson.
    pub fn complete(self) -> Self {
        self.situation("A patient came for a planned PCI of the LAD. After the stent the flow was gone.")
            .time_zero("guide engaged")
            .narrative("The wire passed at once.\n\nThen the flow was gone.")
            .lesion("lad-mid")
            .event("-3:00", "access", "Sheath in the right radial artery")
            .event("+0:00", "guide", "Guide engaged")
            .flow("+5:00", "lad-mid", 3)
            .event("+12:30", "stent", "Stent deployed")
            .flow("+13:00", "lad-mid", 0)
            .event("+15:00", "symptom", "Chest pain")
            .event("+20:00", "drug", "Vasodilator through the microcatheter")
            .flow("+41:00", "lad-mid", 3)
            .mechanism("stent-edge-dissection")
            .at_segment("lad-mid")
            .linked("e4", "e5", "e8")
            .consequence("flow-no-reflow")
            .at_segment("lad-mid")
            .linked("e5", "e6", "e8")
            .cause(
                "tk-plan-single",
                "Because there was one plan, the second wire was fetched from the store.",
            )
            .decision(
                "d1",
                "+14:00",
                "Flow is gone and the wire is in. What next?",
                &["A drug", "A second wire"],
            )
            .signed_lesson("prevent", "Take a second view before the balloon.")
            .with(|case| {
                case.patient.age = Some(Age::Years(64));
                case.patient.sex = Some(Sex::Female);
                case.patient.presentation = Some(Presentation::ChronicCoronarySyndrome);
                case.procedure.access = vec![Access::Radial];
                case.procedure.urgency = Some(Urgency::Elective);
                case.outcome.discharge = Some(of("Home with normal pump function."));
                case.outcome.harm = Some(Harm::Moderate);
            })
    }

    /// It came from a file: no account recorded it.
    pub fn imported(mut self) -> Self {
        self.recorded_by = None;
        self
    }

    /// The account that recorded it, when it is not the fellow.
    pub fn recorded_by(mut self, role: Role) -> Self {
        self.recorded_by = Some(role);
        self
    }

    /// Stores it: it must be one that the pages could have stored.
    pub async fn insert(self, app: &TestApp) -> Placed {
        assert_eq!(check(&self.case, &app.app.vocabulary()), [], "the case of a test breaks a rule");
        let recorder = match self.recorded_by {
            Some(role) => Some(app.user(role).await.id),
            None => None,
        };
        let mut tx = app.app.database.write().await.unwrap();
        let code = store::insert(&mut tx, &self.case, recorder, app.app.now()).await.unwrap();
        let id = store::find_id(&mut tx, code).await.unwrap().unwrap();
        tx.commit().await.unwrap();
        Placed { code, id }
    }
}

fn last<T>(list: &mut [T]) -> &mut T {
    list.last_mut().unwrap_or_else(|| panic!("nothing was added yet"))
}
