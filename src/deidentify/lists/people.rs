//! The words beside which a person stands.

/// Titles that stand before a name and are nothing else.
pub(in crate::deidentify) const TITLES: &str = "\
    dr dra drs mr mrs ms mx prof profa profs hr fr hrn mme mlle sr sra srta dott dottssa sig sigra pan pani \
    dhr mevr mw mevrouw meneer shri smt monsieur madame mademoiselle señor señora señorita signor signora \
    signorina herr frau herrn docteur doctora dottore dottoressa doutor doutora professeur profesor \
    profesora professoressa доктор профессор господин госпожа δρ κος κα ing dipl mudr judr op doña fru pr";

/// Titles that are roles or relatives as well: they need their capital.
pub(in crate::deidentify) const ROLE_TITLES: &str = "\
    miss doctor professor sister sir dame lady lord rev reverend father nurse matron brother doktor \
    schwester pfleger m";

/// People around a patient.
pub(in crate::deidentify) const RELATIONS: &str = "\
    daughter son wife husband mother father sister brother partner carer neighbour neighbor friend grandson \
    granddaughter grandmother grandfather niece nephew aunt uncle cousin widow fiancé fiancée spouse stepson \
    stepdaughter fiance fiancee stepfather stepmother grandchild parent guardian caretaker boyfriend \
    girlfriend roommate housemate twin tochter sohn ehefrau ehemann mutter vater fille fils mari hija hijo \
    esposa esposo figlia figlio moglie marito";

/// Words for people at work, after which a capital is a name.
pub(in crate::deidentify) const ROLES: &str = "\
    operator fellow nurse attending radiographer technician anaesthetist anesthetist registrar consultant \
    doctor surgeon cardiologist patient trainee colleague physiologist pharmacist porter paramedic resident \
    perfusionist interventionist physician circulator anaesthesiologist anesthesiologist radiologist \
    intensivist nephrologist neurologist operators houseman sho intern student receptionist secretary \
    sonographer echocardiographer proctor referrer practitioner clinician";

/// Words after which an age may stand in brackets or after a comma.
pub(in crate::deidentify) const PERSONS: &str = "\
    man woman lady gentleman patient male female mother father widow widower wife husband grandmother \
    grandfather pensioner farmer teacher smoker retiree priest nun driver engineer";

/// What only people do, said of one.
pub(in crate::deidentify) const PERSON_VERBS: &str = "\
    held said told asked came went took gave pulled pushed called helped noticed saw heard thought knew \
    arrived left joined scrubbed assisted wondered replied answered explained agreed phoned rang paged \
    fetched handed brought stood sat ran felt wanted decided chose opened injected compressed watched \
    insisted suggested does did had spoke knows says thinks performed requested reported scrubs reviewed \
    recommended advised confirmed ordered offered refused declined consented argued remembered recalled \
    drove lives lived works worked documented wrote signed shouted cried taught trained attended visited \
    smiled worried apologised apologized disagreed proposed wants";

/// Verbs that leave little doubt, so that an unknown word at the beginning of a sentence is a name.
pub(in crate::deidentify) const SPEAKING_VERBS: &str = "\
    said told asked thought replied explained wondered heard scrubbed assisted phoned decided says scrubs \
    remembered recalled advised refused consented apologised apologized shouted rang visited lives lived \
    insisted disagreed argued agreed answered wrote signed fetched handed";

/// After "was" or "were", what is done to people.
pub(in crate::deidentify) const DONE_TO_PERSONS: &str = "\
    called told asked informed paged phoned summoned bleeped relieved scrubbed present on alone tired \
    worried there the at not already also away with reassured";
