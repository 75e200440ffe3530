//! The words by which the finders tell a name from the language of the trade. Common practice.

#[rustfmt::skip]
pub(super) const MONTHS: &[&str] = &[
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december",
];

/// Short forms, which need their capital and small letters: `OCT` is a picture.
pub(super) const SHORT_MONTHS: &[&str] =
    &["jan", "feb", "mar", "apr", "jun", "jul", "aug", "sep", "sept", "oct", "nov", "dec"];

pub(super) const WEEKDAYS: &[&str] =
    &["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];

/// Days with a name. The first word carries a capital.
#[rustfmt::skip]
pub(super) const FEASTS: &[&str] = &[
    "boxing day", "christmas day|eve", "christmas", "new year 's day|eve", "new year's day|eve", "new years day|eve",
    "new year", "easter monday|sunday", "easter", "good friday", "whit monday|sunday", "thanksgiving", "halloween", "diwali",
    "eid", "ramadan", "hanukkah", "yom kippur", "labour|labor|independence|memorial|veterans|bastille|republic|may|mother's|father's|valentine's|ascension|canada|anzac|australia day",
    "mother|father|valentine|patrick 's day", "pentecost", "shrove|ash|maundy tuesday|wednesday|thursday", "bank holiday",
];

/// What a number before it measures or counts.
#[rustfmt::skip]
pub(super) const UNITS: &[&str] = &[
    "mm", "cm", "m", "ml", "l", "dl", "mg", "g", "kg", "µg", "μg", "mcg", "ng", "nmol", "mmol", "µmol", "μmol", "u", "iu", "units",
    "unit", "s", "sec", "secs", "second", "seconds", "min", "mins", "minute", "minutes", "h", "hr", "hrs", "hour", "hours", "d",
    "day", "days", "week", "weeks", "month", "months", "year", "years", "atm", "bar", "mmhg", "kpa", "fr", "f", "french", "gy", "mgy",
    "cgy", "µgy", "kv", "ma", "joules", "j", "bpm", "rpm", "x", "×", "times", "percent", "%", "°", "degrees", "stents", "stent", "balloons",
    "balloon", "wires", "wire", "cases", "patients", "people", "procedures", "vessels", "vessel", "lesions", "runs", "frames", "fps",
    "hz", "passes", "attempts", "inflations", "of", "or", "per", "in", "inch", "inches", "cells",
];

/// Titles as they are written before a name.
#[rustfmt::skip]
pub(super) const TITLES: &[&str] = &[
    "Dr", "Mr", "Mrs", "Ms", "Miss", "Mx", "Prof", "Professor", "Doctor", "Sister", "Sir", "Dame", "Lady", "Lord", "Herr", "Frau",
    "Mme", "Madame", "Monsieur", "Rev", "Father", "Nurse", "Matron", "Señor", "Señora", "Signor", "Signora",
];

/// People around a patient.
#[rustfmt::skip]
pub(super) const RELATIONS: &[&str] = &[
    "daughter", "son", "wife", "husband", "mother", "father", "sister", "brother", "partner", "carer", "neighbour", "neighbor",
    "friend", "grandson", "granddaughter", "grandmother", "grandfather", "niece", "nephew", "aunt", "uncle", "cousin", "widow",
    "fiancé", "fiancée", "spouse", "stepson", "stepdaughter",
];

/// Words for people at work, after which a capital is a name.
#[rustfmt::skip]
pub(super) const ROLES: &[&str] = &[
    "operator", "fellow", "nurse", "attending", "radiographer", "technician", "anaesthetist", "anesthetist", "registrar",
    "consultant", "doctor", "surgeon", "cardiologist", "patient", "trainee", "colleague", "physiologist", "pharmacist", "porter",
    "paramedic", "resident", "perfusionist", "interventionist", "physician",
];

/// Words after which an age may stand in brackets or after a comma.
#[rustfmt::skip]
pub(super) const PERSONS: &[&str] = &[
    "man", "woman", "lady", "gentleman", "patient", "male", "female", "mother", "father", "widow", "widower", "wife", "husband",
    "grandmother", "grandfather", "pensioner", "farmer", "teacher",
];

/// What only people do, said of one.
#[rustfmt::skip]
pub(super) const PERSON_VERBS: &[&str] = &[
    "held", "said", "told", "asked", "came", "went", "took", "gave", "pulled", "pushed", "called", "helped", "noticed", "saw",
    "heard", "thought", "knew", "arrived", "left", "joined", "scrubbed", "assisted", "wondered", "replied", "answered", "explained",
    "agreed", "phoned", "rang", "paged", "fetched", "handed", "brought", "stood", "sat", "ran", "felt", "wanted", "decided", "chose",
    "opened", "injected", "compressed", "watched", "insisted", "suggested", "does", "did", "had", "spoke", "knows", "says", "thinks",
];

/// Verbs that leave little doubt, so that an unknown word at the beginning of a sentence is a name.
pub(super) const SPEAKING_VERBS: &[&str] = &[
    "said",
    "told",
    "asked",
    "thought",
    "replied",
    "explained",
    "wondered",
    "heard",
    "scrubbed",
    "assisted",
    "phoned",
    "decided",
    "says",
];

/// After "was" or "were", what is done to people.
#[rustfmt::skip]
pub(super) const DONE_TO_PERSONS: &[&str] = &[
    "called", "told", "asked", "informed", "paged", "phoned", "summoned", "bleeped", "relieved", "scrubbed", "present", "on",
    "alone", "tired", "worried", "there", "the", "at", "not", "already", "also", "away", "with", "reassured",
];

/// Given names that are words as well.
#[rustfmt::skip]
pub(super) const NAMES_AND_WORDS: &[&str] = &[
    "grace", "will", "hope", "faith", "joy", "mark", "rose", "bill", "pat", "sue", "rob", "frank", "dawn", "ray", "art", "ivy",
    "lily", "olive", "heather", "holly", "iris", "jade", "ruby", "pearl", "penny", "summer", "autumn", "christian", "dean", "grant",
    "guy", "jack", "jean", "chase", "cliff", "cole", "chuck", "dale", "drew", "earl", "gene", "glen", "jay", "lance", "miles", "nick",
    "norm", "peg", "reed", "rich", "skip", "wade", "wren", "june", "april", "violet", "daisy", "basil", "angel", "harmony", "mercy",
    "patience", "prudence", "constance", "felicity", "amber", "ginger", "hazel", "laurel", "myrtle", "rusty", "sandy", "stone",
    "don", "bob", "max", "carol", "robin", "jordan", "chance", "barb", "gay", "viola", "victor", "clement", "ernest", "major", "august",
];

/// Given names that are nothing else. Common ones of many languages; the list is no census.
#[rustfmt::skip]
pub(super) const GIVEN_NAMES: &[&str] = &[
    "aaron", "abdul", "abigail", "adam", "adrian", "agnes", "ahmed", "aisha", "alan", "albert", "alexander", "alexandra", "alice",
    "alison", "amanda", "amelia", "amina", "amy", "ana", "andrea", "andrew", "angela", "anita", "ann", "anna", "anne", "anthony",
    "antonio", "arthur", "ayesha", "barbara", "beatrice", "benjamin", "bernard", "beth", "betty", "brenda", "brian", "bridget",
    "bruce", "camilla", "carl", "carlos", "caroline", "catherine", "charles", "charlotte", "chiara", "chloe", "christina",
    "christine", "christopher", "claire", "clara", "colin", "craig", "daniel", "david", "deborah", "deepak", "denise", "dennis",
    "derek", "diana", "dimitri", "dmitri", "donald", "donna", "dorothy", "douglas", "edith", "edward", "eileen", "elaine", "eleanor",
    "elena", "elizabeth", "emily", "emma", "eric", "esther", "ethan", "eugene", "eva", "evelyn", "fatima", "fiona", "florence",
    "frances", "francesca", "francesco", "freya", "gary", "geoffrey", "george", "georgina", "gerald", "gillian", "giovanni",
    "giulia", "gordon", "graham", "greta", "hannah", "hans", "harold", "harriet", "harry", "hassan", "helen", "helga", "henry",
    "hiroshi", "hugh", "ian", "ibrahim", "imogen", "ingrid", "irene", "isabel", "isabella", "ivan", "jacqueline", "jacob", "jane",
    "janet", "jason", "javier", "jennifer", "jeremy", "jessica", "joan", "joanna", "johannes", "john", "jonathan", "jorge", "joseph",
    "josephine", "joshua", "juan", "judith", "julia", "julian", "julie", "karen", "karl", "katherine", "kathleen", "keith", "kenneth",
    "kevin", "khalid", "kumar", "kwame", "laura", "lauren", "leila", "leonard", "linda", "lisa", "louise", "lucia", "lucy", "luis",
    "lukas", "lydia", "malcolm", "margaret", "maria", "marie", "marion", "martha", "martin", "mary", "matthew", "maureen", "megan",
    "mehmet", "melissa", "michael", "michelle", "miriam", "mohamed", "mohammed", "monica", "muhammad", "nadia", "nancy", "natalie",
    "nathan", "neil", "nicholas", "nicola", "nigel", "nina", "norman", "oliver", "olivia", "oscar", "pablo", "patricia", "patrick",
    "paul", "paula", "pauline", "peter", "philip", "phyllis", "priya", "rachel", "rajesh", "ralph", "raymond", "rebecca", "richard",
    "robert", "roger", "ronald", "rosa", "rosemary", "roy", "rukmini", "russell", "ruth", "samantha", "samuel", "sandra", "sarah",
    "sergei", "sharon", "sheila", "shirley", "simon", "sofia", "sonia", "sophia", "sophie", "stanley", "stella", "stephanie",
    "stephen", "steven", "stuart", "susan", "suresh", "sylvia", "tamara", "teresa", "theresa", "thomas", "timothy", "tobias", "tracy",
    "ursula", "valerie", "vera", "victoria", "vijay", "vincent", "walter", "wendy", "william", "winifred", "wolfgang", "yasmin",
    "yusuf", "yvonne", "zainab", "zoe",
];

/// Names that the trade gives to shapes, tests, signs, scales and makers' rules.
#[rustfmt::skip]
pub(super) const EPONYMS: &[&str] = &[
    "judkins", "amplatz", "seldinger", "allen", "barbeau", "ellis", "killip", "medina", "wellens", "takotsubo", "kussmaul", "beck",
    "ikari", "simmons", "swan", "ganz", "fogarty", "foley", "tuohy", "borst",
    "rashkind", "brockenbrough", "mullins", "prinzmetal", "dressler", "sgarbossa", "de", "winter", "brugada", "bruce", "naughton",
    "cockcroft", "gault", "mehran", "fick", "gorlin", "hakki", "bernoulli", "doppler", "simpson", "teichholz", "virchow", "wiggers",
    "frank", "starling", "windkessel", "korotkoff", "valsalva", "trendelenburg", "glasgow", "charlson", "grace", "crusade", "syntax",
    "euroscore", "murray", "finet", "hagen", "poiseuille", "reynolds", "laplace", "young", "ohm", "hounsfield", "agatston", "rentrop",
    "werner", "mahaim", "kent", "wolff", "parkinson", "wenckebach", "mobitz", "purkinje", "his", "bachmann", "thebesian", "thebesius",
    "vieussens", "kugel", "botallo", "eustachian", "chiari", "scarpa", "hunter", "poupart", "retzius", "cullen", "turner", "grey",
    "homans", "raynaud", "marfan", "ehlers", "danlos", "noonan", "kawasaki", "takayasu", "behçet", "buerger", "fabry",
    "austin", "flint", "corrigan", "quincke", "steell", "still", "cheyne", "stokes", "adams", "kounis", "bezold", "jarisch", "levine",
    "braunwald", "canadian", "byrne", "gensini", "leaman", "kaplan", "meier", "cox", "fleiss", "krippendorff",
    "lefèvre", "lefevre", "szabo",
    "carlino", "sumitsuji", "gruntzig", "grüntzig", "sones", "dotter", "ross", "ebstein", "fallot",
    "eisenmenger", "fontan", "glenn", "bentall", "dor", "batista", "edwards", "jehovah", "european", "american", "british",
    "english", "french", "german", "italian", "japanese", "chinese", "luer", "lock",
    "gaussian", "fisher", "bonferroni", "bayes", "bayesian", "holter", "latin", "greek",
    "roman", "arabic", "loeys", "dietz", "adamkiewicz", "willis", "monro", "forrester", "stanford", "debakey", "crawford", "hardman",
    "fontaine", "rutherford", "selvester", "sokolow", "lyon", "cornell", "bazett", "fridericia",
    "lambl", "morgagni", "aschoff", "roth", "osler", "janeway", "duroziez", "müller", "hill", "becker", "traube",
];

/// Capitalised words of the trade and of the page that are no names.
#[rustfmt::skip]
pub(super) const TRADE_WORDS: &[&str] = &[
    "i", "doctor", "professor", "sister", "nurse", "attending", "fellow", "surgeon", "registrar", "consultant", "operator", "team",
    "heart", "ward", "emergency", "department", "intensive", "care", "unit", "coronary", "catheter", "catheterisation", "laboratory",
    "lab", "left", "right", "main", "anterior", "descending", "circumflex", "diagonal", "marginal", "septal", "ramus", "posterior",
    "aortic", "mitral", "proximal", "mid", "distal", "type", "class", "grade", "stage", "figure", "table", "chosen", "note", "noted",
    "aspirin", "clopidogrel", "ticagrelor", "prasugrel", "cangrelor", "heparin", "bivalirudin", "enoxaparin", "tirofiban", "eptifibatide",
    "abciximab", "protamine", "adenosine", "verapamil", "nitroprusside", "nicorandil", "nitroglycerin", "nitrate", "atropine",
    "adrenaline", "epinephrine", "noradrenaline", "norepinephrine", "dobutamine", "dopamine", "milrinone", "levosimendan", "vasopressin",
    "amiodarone", "lidocaine", "lignocaine", "morphine", "fentanyl", "midazolam", "propofol", "ketamine", "furosemide", "metoprolol",
    "bisoprolol", "esmolol", "labetalol", "diltiazem", "amlodipine", "ramipril", "losartan", "atorvastatin", "metformin", "insulin",
    "apixaban", "rivaroxaban", "edoxaban", "dabigatran", "warfarin", "hydrocortisone", "chlorphenamine", "tenecteplase", "alteplase",
    "echo", "echocardiogram", "angio", "angiogram", "ultrasound", "dissection", "perforation", "tamponade", "stent", "balloon", "wire", "guide", "sheath", "flow", "plan", "family", "surgery", "theatre", "pressure", "rhythm", "drain", "iodixanol", "iohexol", "iopamidol", "contrast", "saline", "glucose", "potassium", "magnesium", "calcium", "sodium", "kelvin",
    "gray", "sievert", "joule", "newton", "pascal", "celsius", "europe", "africa", "asia", "america",
    "internet",
];

/// Letters that stand for things and not for people.
#[rustfmt::skip]
pub(super) const ABBREVIATIONS: &[&str] = &[
    "AF", "AI", "AR", "AS", "AV", "BP", "BMS", "CK", "CO", "CS", "CT", "CTO", "CX", "DC", "DES", "DM", "EF", "ECG", "EKG", "ER", "ED", "FFR",
    "GCS", "GI", "GP", "HR", "IC", "ICU", "IM", "IV", "IVC", "LAD", "LAO", "LCA", "LCX", "LIMA", "LM", "LV", "MI", "MR", "MRI", "NB", "NSR", "OCT",
    "OD", "OM", "PA", "PCI", "PDA", "PE", "PEA", "PLV", "PM", "PO", "PRN", "RAO", "RBC", "RCA", "RIMA", "RV", "RPL", "SC", "SOB", "SR", "ST", "SVC",
    "SVG", "TR", "TTE", "TOE", "TEE", "UK", "US", "USA", "EU", "VF", "VT", "VSD", "ASD", "AM", "BD", "TDS", "QDS", "ACT", "ABG", "CCU", "HDU", "ITU",
    "ACS", "DNR", "ID", "OK", "NO", "II", "III", "IV", "VI", "OR", "AND", "IN", "ON", "NOT", "WAS", "HAD", "EP", "IR", "GA", "LA", "AO", "AMI", "CHF", "CKD", "DVT", "COPD",
];

/// The last words of streets.
#[rustfmt::skip]
pub(super) const STREETS: &[&str] = &[
    "lane", "road", "street", "avenue", "close", "drive", "way", "court", "place", "square", "terrace", "crescent", "gardens", "grove",
    "hill", "park", "row", "walk", "boulevard", "mews", "rise", "rd", "st", "ave", "ln", "blvd", "straße", "strasse", "weg", "platz", "rue",
];

/// The words that end a hospital's name.
#[rustfmt::skip]
pub(super) const HOSPITAL_WORDS: &[&str] = &[
    "hospital", "infirmary", "clinic", "hospice", "trust", "institute", "klinikum", "sanatorium", "center", "centre", "krankenhaus", "klinik",
];

/// Words that make no hospital a particular one.
#[rustfmt::skip]
pub(super) const GENERIC_HOSPITALS: &[&str] = &[
    "the", "a", "an", "our", "this", "that", "another", "referring", "transferring", "receiving", "local", "district", "general",
    "university", "community", "regional", "tertiary", "heart", "medical", "teaching", "children", "day", "royal", "cardiac", "county",
    "outside", "first", "second", "each", "every", "no", "their", "her", "his", "peripheral", "next", "same", "other", "nearest", "health",
    "surgical", "trauma", "stroke", "in", "at", "from", "to", "after", "one", "any", "which", "private", "outpatient", "pacemaker", "rehabilitation",
];

/// Endings of ordinary words, so that a capital in a heading is not taken for a name.
#[rustfmt::skip]
pub(super) const WORD_ENDINGS: &[&str] = &[
    "tion", "sion", "ment", "ness", "ing", "ity", "osis", "itis", "gram", "graphy", "plasty", "ectomy", "emia", "aemia", "cardia", "scope",
    "meter", "pathy", "ally", "ical", "ial", "ous", "ary", "ism", "ine", "ide", "ate", "mab", "pril", "sartan", "grel", "xaban", "olol", "azole",
    "ure", "ance", "ence", "able", "ible", "ive", "ated", "ised", "ized", "ology", "ogist", "ular", "graft", "wire", "balloon", "ation",
];
