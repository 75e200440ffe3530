//! The language of the trade. Common practice.

/// Names that the trade gives to shapes, tests, signs, scales and makers' rules.
pub(in crate::deidentify) const EPONYMS: &str = "\
    judkins amplatz seldinger allen barbeau ellis killip medina wellens takotsubo kussmaul beck ikari \
    simmons swan ganz fogarty foley tuohy borst rashkind brockenbrough mullins prinzmetal dressler sgarbossa \
    de winter brugada bruce naughton cockcroft gault mehran fick gorlin hakki bernoulli doppler simpson \
    teichholz virchow wiggers frank starling windkessel korotkoff valsalva trendelenburg glasgow charlson \
    grace crusade syntax euroscore murray finet hagen poiseuille reynolds laplace young ohm hounsfield \
    agatston rentrop werner mahaim kent wolff parkinson wenckebach mobitz purkinje his bachmann thebesian \
    thebesius vieussens kugel botallo eustachian chiari scarpa hunter poupart retzius cullen turner grey \
    homans raynaud marfan ehlers danlos noonan kawasaki takayasu behçet buerger fabry austin flint corrigan \
    quincke steell still cheyne stokes adams kounis bezold jarisch levine braunwald canadian byrne gensini \
    leaman kaplan meier cox fleiss krippendorff lefèvre lefevre szabo carlino sumitsuji gruntzig grüntzig \
    sones dotter ross ebstein fallot eisenmenger fontan glenn bentall dor batista edwards jehovah european \
    american british english french german italian japanese chinese luer lock gaussian fisher bonferroni \
    bayes bayesian holter latin greek roman arabic loeys dietz adamkiewicz willis monro forrester stanford \
    debakey crawford hardman fontaine rutherford selvester sokolow lyon cornell bazett fridericia lambl \
    morgagni aschoff roth osler janeway duroziez müller hill becker traube ringer hartmann lysholm gerbode \
    lutembacher oram mallory thurner lenègre lenegre ashman rankin karnofsky mallampati cormack lehane \
    libman sacks churg strauss wegener digeorge friedreich duchenne pompe aldrete barthel waterlow apgar \
    geneva framingham zwolle sianos lotan louvard movahed sanborn katz wachtel cabrera windermere";

/// Words of the trade and of the page that are no names when they have a capital.
pub(in crate::deidentify) const TRADE_WORDS: &str = "\
    i doctor professor sister nurse attending fellow surgeon registrar consultant operator team heart ward \
    emergency department intensive care unit coronary catheter catheterisation laboratory lab left right \
    main anterior descending circumflex diagonal marginal septal ramus posterior aortic mitral proximal mid \
    distal type class grade stage figure table chosen note noted aspirin clopidogrel ticagrelor prasugrel \
    cangrelor heparin bivalirudin enoxaparin tirofiban eptifibatide abciximab protamine adenosine verapamil \
    nitroprusside nicorandil nitroglycerin nitrate atropine adrenaline epinephrine noradrenaline \
    norepinephrine dobutamine dopamine milrinone levosimendan vasopressin amiodarone lidocaine lignocaine \
    morphine fentanyl midazolam propofol ketamine furosemide metoprolol bisoprolol esmolol labetalol \
    diltiazem amlodipine ramipril losartan atorvastatin metformin insulin apixaban rivaroxaban edoxaban \
    dabigatran warfarin hydrocortisone chlorphenamine tenecteplase alteplase echo echocardiogram angio \
    angiogram ultrasound dissection perforation tamponade stent balloon wire guide sheath flow plan family \
    surgery theatre pressure rhythm drain iodixanol iohexol iopamidol contrast saline glucose potassium \
    magnesium calcium sodium kelvin gray sievert joule newton pascal celsius europe africa asia america \
    internet femoral radial brachial ulnar rotational orbital creatinine haemoglobin hemoglobin troponin \
    lactate platelets fluoroscopy kerma haematoma hematoma effusion pericardial pericardiocentesis \
    microcatheter guidewire bifurcation ostium ostial restenosis thrombosis thrombus thrombectomy \
    atherectomy lithotripsy ischaemia ischemia infarction infarct arrest shock ventricular atrial sinus \
    angiographic residual culprit lesion stenosis occlusion collateral collaterals branch carina plaque side \
    segment cutting scoring kissing culotte provisional crush minicrush medication allergy anticoagulation \
    antiplatelet oxygen intubation vasopressor defibrillation cardioversion compression compressions \
    haemostasis hemostasis closure retroperitoneal pseudoaneurysm fistula transfusion plasma fibrinogen \
    fibrinolysis lysis syringe manifold transducer injector console burr crown drug-eluting bare-metal \
    hypotension bradycardia tachycardia stroke bleeding contrast-induced nephropathy anaphylaxis easter \
    christmas med eur engl circ esp cardiol interv int suppl coll radiol osteopath crit bmc soc thorac surg \
    lancet jama relook";

/// Letters that stand for things and not for people.
pub(in crate::deidentify) const ABBREVIATIONS: &str = "\
    af ai ar as av bp bms ck co cs ct cto cx dc des dm ef ecg ekg er ed ffr gcs gi gp hr ic icu im iv ivc \
    lad lao lca lcx lima lm lv mi mr mri nb nsr oct od om pa pci pda pe pea plv pm po prn rao rbc rca rima \
    rv rpl sc sob sr st svc svg tr tte toe tee uk us usa eu vf vt vsd asd am bd tds qds act abg ccu hdu itu \
    acs dnr id ok no ii iii vi or and in on not was had ep ir ga la ao ami chf ckd dvt copd stemi nstemi \
    cabg ivus pcwp lvedp lvef rvef cvp ecmo iabp nstacs doac noac dapt svt vfib vtach rosc cpr dcb \
    poba pvl tavi tavr savr laa laao pfo bav mra mrcp cmr spect pet cad pad pvd esrd aki cin egfr nt bnp \
    ntprobnp crp wbc hct inr aptt ptt tsh ldl hdl hba plt ich tia gib barc timi tmpg mbg ctfc syntax grace \
    nyha ccs kdigo akin rifle varc easy scai hit aiva cra cau ap ebu xb jl jr al mp nc dk tap pot kbi fkb \
    ivl ra oa elca ifr rfr imr cfr qfr mla msa mld esc acc aha nice fda lms lmca diag sv ramus plb rvb lbbb \
    rbbb avb pvc pac nsvt bid tid qid nil nad jvp cxr vbg gtn isdn asa gpi ufh lmwh tnk rtpa sbp dbp map hrs \
    spo icd crt ppm aicd cvicu theatre lab dna rna tbc tba asap faq pdf dicom pacs mdt mm";

/// Endings of the words of medicine, so that such a word with a capital is not taken for a name.
#[rustfmt::skip]
pub(in crate::deidentify) const WORD_ENDINGS: &[&str] = &[
    "tion", "sion", "ment", "ness", "osis", "itis", "gram", "graphy", "plasty", "ectomy", "emia",
    "aemia", "cardia", "scope", "meter", "pathy", "ally", "ical", "ism", "mab", "pril", "sartan",
    "grel", "xaban", "olol", "azole", "able", "ible", "ated", "ised", "ized", "ology", "ogist", "ular",
    "graft", "wire", "balloon", "ation", "lysis", "statin", "parin", "gliflozin", "cillin", "tomy",
    "stenosis", "plegia", "uria", "pnoea", "pnea", "tension", "dilatation", "thrombus", "dipine",
    "floxacin", "mycin", "caine", "zepam", "zolam", "setron", "tidine", "rrhage", "rrhythmia",
    "ectasis", "stenting", "stented",
];
