//! Words of places and hospitals.

/// The last words of streets: the common suffixes of the Postal Service's Publication 28, appendix C1 (from memory), and British ones.
pub(in crate::deidentify) const STREETS: &str = "\
    lane road street avenue close drive way court place square terrace crescent gardens grove hill park row \
    walk boulevard mews rise rd st ave ln blvd alley bayou beach bend bluff bridge brook bypass camp canyon \
    causeway circle cliff common corner corners courts cove creek crest crossing dale estate estates \
    expressway fields flats ford fords forest forge fork fort freeway garden gateway glen glens green greens \
    groves harbor harbors haven heights highway hills hollow inlet island islands isle junction key keys \
    knoll knolls lake lakes landing light lights locks lodge loop mall manor manors meadow meadows mill \
    mills mission motorway mount mountain mountains neck orchard oval overpass parks parkway parkways path \
    pike pine pines plain plains plaza prairie ranch rapids ridge ridges river roads route shoal shoals \
    shore shores skyway spring springs squares station stravenue stream streets summit throughway trail \
    trafficway tunnel turnpike union unions valley valleys viaduct village villages ville vista walks ways \
    yard gate dr ct sq cres gdns pkwy hwy burg burgs club cape course divide drives extension extensions \
    falls ferry track passage chowk zila marg nagar ganj bazaar";

/// The first words of streets where the kind of street stands in front.
pub(in crate::deidentify) const STREETS_BEFORE: &str = "\
    rue avenue boulevard av bd chemin impasse allée place calle avenida avda plaza paseo cuesta ronda camino \
    carrera glorieta via viale piazza corso largo strada vicolo contrada borgo ulica ul aleja al plac pl \
    osiedle rua travessa recanto alameda praça rodovia ladeira viaduto estrada rambla callejón pasaje cañada \
    acceso vial pasadizo urbanización";

/// The words that end a hospital's name.
pub(in crate::deidentify) const HOSPITAL_WORDS: &str = "\
    hospital infirmary clinic hospice trust institute klinikum sanatorium center centre krankenhaus klinik \
    ziekenhuis sjukhus sjukhuset sygehus sykehus hastanesi polyclinic hospitals";

/// The words that begin a hospital's name.
pub(in crate::deidentify) const HOSPITALS_BEFORE: &str = "\
    hospital klinikum universitätsklinikum uniklinik uniklinikum krankenhaus hôpital hopital chu chru \
    clinique ospedale policlinico clínica szpital infirmary ziekenhuis";

/// Words that make no hospital a particular one.
pub(in crate::deidentify) const GENERIC_HOSPITALS: &str = "\
    the a an our this that another referring transferring receiving local district general university \
    community regional tertiary heart medical teaching children day royal cardiac county outside first \
    second each every no their her his peripheral next same other nearest health surgical trauma stroke in \
    at from to after one any which private outpatient pacemaker rehabilitation hub spoke base feeding \
    accepting originating home secondary primary national state federal military public veterans women \
    maternity dental eye cancer chest emergency urgent diabetes valve failure anticoagulation fracture pain \
    access dialysis device hypertension lipid arrhythmia syncope surgery large small big busy remote rural \
    distant new old field acute specialist specialised specialized universitario clínico universitaire \
    civile central municipal pci";

/// What a ward is for, which names no ward in particular.
pub(in crate::deidentify) const GENERIC_WARDS: &str = "\
    the a an our this that another general medical surgical cardiology cardiac coronary recovery day short \
    stay female male stroke renal vascular surgery stepdown step acute medicine high care observation \
    admission admissions assessment monitored emergency elderly geriatric paediatric pediatric maternity \
    psychiatric respiratory oncology orthopaedic orthopedic isolation home receiving referring same other \
    next right wrong open each every any no heart telemetry intensive post discharge";

/// What follows the word ward in the language of the house.
pub(in crate::deidentify) const AFTER_WARD: &str = "\
    round rounds manager sister nurse nurses staff clerk team teams doctor doctors based level care handover \
    after before on in at to for with and or by from when while until during is was were had has who \
    observations transfer bed beds";
