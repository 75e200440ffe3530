//! Months, days of the week and units.

/// Months in English.
pub(in crate::deidentify) const MONTHS: &str = "\
    january february march april may june july august september october november december";

/// Short forms, which need their capital and small letters: `OCT` is a picture.
pub(in crate::deidentify) const SHORT_MONTHS: &str = "\
    jan feb mar apr jun jul aug sep sept oct nov dec";

/// Months of nine further languages and of Russian. They count beside a day or a year.
pub(in crate::deidentify) const FOREIGN_MONTHS: &str = "\
    januar februar märz mai juni juli oktober dezember jänner janvier février fevrier mars avril juin \
    juillet août aout septembre octobre novembre décembre enero febrero marzo abril mayo junio julio agosto \
    septiembre setiembre octubre noviembre diciembre gennaio febbraio aprile maggio giugno luglio settembre \
    ottobre dicembre janeiro fevereiro março maio junho julho setembro outubro novembro dezembro januari \
    februari maart mei augustus maj augusti stycznia lutego marca kwietnia czerwca lipca sierpnia września \
    października listopada grudnia ocak şubat mart nisan mayıs haziran temmuz ağustos eylül ekim kasım \
    aralık января февраля марта апреля мая июня июля августа сентября октября ноября декабря maja";

/// Days of the week, and those of other languages that are no words of English.
pub(in crate::deidentify) const WEEKDAYS: &str = "\
    monday tuesday wednesday thursday friday saturday sunday montag dienstag mittwoch donnerstag freitag \
    samstag sonnabend sonntag lundi mardi mercredi jeudi vendredi samedi dimanche lunes martes miércoles \
    jueves viernes sábado lunedì martedì mercoledì giovedì venerdì sabato domenica maandag dinsdag woensdag \
    donderdag vrijdag zaterdag zondag måndag tisdag onsdag torsdag fredag lördag söndag poniedziałek wtorek \
    środa czwartek piątek pazartesi çarşamba perşembe cumartesi";

/// What a number before it measures or counts.
pub(in crate::deidentify) const UNITS: &str = "\
    mm cm m ml l dl mg g kg µg μg mcg ng nmol mmol µmol μmol u iu units unit s sec secs second seconds min \
    mins minute minutes h hr hrs hour hours d day days week weeks month months year years atm bar mmhg kpa \
    fr f french gy mgy cgy µgy kv ma joules j bpm rpm x × times percent % ° degrees stents stent balloons \
    balloon wires wire cases patients people procedures vessels vessel lesions runs frames fps hz passes \
    attempts inflations of or per in inch inches cells litres liters litre mls μm µm nm cc beats joule volts \
    ms msec minuten stunden tage jours heures vials ampoules puffs boluses bolus doses dose shocks segments \
    grams mosm meq grafts thousand pieces points tablets";
