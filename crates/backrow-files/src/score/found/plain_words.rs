//! Words over a part that name no instrument: tempo, dynamics, expression, ways of playing. Common practice in four
//! languages, from memory; folded as names are, accents dropped.

use crate::score::names::Token;

/// Longer texts are prefaces, not names.
const MOST_WORDS: usize = 8;

/// The words, by what they are about.
const PLAIN: &[&str] = &[
    // Small words.
    "a al alla alle allo ai am an and ans as at au aux auf aus avec be bei bis by c che col colla come comme con d da das \
     dal dalla de dei del della den der des di die do du e ed ein eine einem einen el en es et etwas fur for from il im in \
     ist it i ii iii iv l la le les lo m ma mais mit mu n nach nel nella nicht no non not nur o od oder of off on or ou par \
     pas per piu plus pour pp qu que qui r s san sans se sehr sem senza sich so st sub sul sur t the then to u un una und une \
     uno v vom von w wie with without x y z zu zum zur",
    // How many and how often.
    "all alle beide both div divisi due deux drei einer erste erster first half last letzte mal only pult second sec seul \
     seule solo soli soliste three times time tous toutes tutti twice two unis unison unisono volta volte zwei prima primo \
     seconda secondo each player players spieler stand",
    // Tempo.
    "accel accelerando accelerez adagio agitato agitazione allarg allargando allegretto allegro alte andante andantino \
     animando animato anime assai assez ausdruck ausdrucksvoll avanti beat belebt belebter bewegt bewegter breit breiter brio \
     broad broaden broader brioso calando calm calmato calme calmo cantabile cedez commodo comodo cresc crescendo \
     decres decresc decrescendo deciso dim dimin diminuendo doppio drangend drangender eilen eilend energico ersten \
     espr espress espressivo etwas expressif expressive expression expressivo fast faster feierlich feurig fliessend fliessender \
     flott flowing forte fortissimo freely frei frisch fuoco furioso gemachlich gemessen giocoso giusto gracioso graduellement \
     grandioso grave grazia grazioso gedehnt gehalten haupttempo hauptzeitmass heftig holding hurry immer improvisando \
     initial innig istesso kraftig kurz lang langsam langsamer largamente larghetto largo lebendig lebhaft lebhafter leggiero \
     leggero leicht leise lent lentement lento less libero liberamente listesso lively l lunga lungo lustig maestoso marcato \
     marcatissimo marc marche march marcia marsch marschmassig mancando martiale massig massige meme mehr meno menuett menuetto \
     minuetto mf mezzo misterioso mit moderato moderement modere moins molto morendo mosso moto motion much mouvement mouvt \
     movendo movement moving nachlassend niente noch ossia passionato pesante peu piacere piano pianissimo plus pochiss \
     pochissimo poco pressez presser prestissimo presto pst quasi quick quicker quickly quiet quietly rall rallent rallentando \
     ralentir ralentissant ram rasch rascher ravvivando retenez retenu retardando rinforz rinforzando rf rfz risoluto rit ritard \
     ritardando ritenuto ritmico ritmo riten rubato ruhig ruhiger ruhevoll rhythmic rhythme rythme scherzando scherzo scherzoso \
     schnell schneller schleppen schleppend schwer schwungvoll semplice sempre senza serrer serrez serioso sforzando slargando \
     slow slower slowly smorz smorzando sostenuto sost soutenu spirito spiritoso steady steigernd stentando straight strepitoso \
     string stringendo stretto streng sturmisch subito subitement swing sub tardando tempo tempi temps tempestoso teneramente \
     toujours tosto tranquillo tranquille tres trio triumphant troppo un veloce vif vigoroso vite vivace vivacissimo vivement \
     vivo vorher vorwarts wachsend walzer weniger werden werdend wieder wild wuchtig zart zartlich zeitmass ziemlich zogernd \
     zuruckhaltend zuruckhalten zunehmend abnehmend allmahlich anfang augmentez augmentant diminuez",
    // Dynamics and expression.
    "accent accents cantando chantant clair clear con deciso decided dehors delicato deutlich dolce dolcissimo dolente doux \
     douce eco echo equal etouffe etouffez f ff fff ffff fp fz gut hart heavy hervor hervortretend intenso klar kein keine \
     legato leger legerement legg loud lourd marque mf morbido mp ohne p pf pizz ppp pppp piangendo precise prominent sec secco \
     sfz sf sfp sffz soft softly sonore sonoro sotto sostenendo staccato staccatissimo stacc stark steadily strong tenderly ten \
     tenuto tenute tenute tief tutta forza vibrant voce weich",
    // Ways of playing that keep the instrument.
    "abdampfen absetzen arco bar bars baqu battuta beat bogen bouche bow brush centre center choke choked close closed \
     clos colpo colpi coperta coperti coperto cover covered cup damp damped dampen dampfer dampfung dead dome doigt double dry \
     edge end ende etc etouffer evtl fade fell fermata fill flam frappe frappez frapper free gedampft gestopft getragen gliss \
     glissando groove grace half hand handed head hinter hit imitating improvise klang klingen kappe kuppel laisser laissez \
     lasciar lasciare lascia lassen left let libre lv l.v lontano mano measure measures metre middle mitte morz mute muted muta \
     muffle muffled mutano naturale nat natural nimmt norm normal offen offstage open ord ordinaire ordinario orchester \
     orchestra pause pedal ped play played press prende prenez primo punta rand rallonge rechts recht ring rim rimshot roll rolled \
     rolls ruff scene scrape secouer secco segue sempre shake shaken shell shot side sim simile simili single sizzle snare snares \
     sofort solo sord sordina sordine sordini sordino sordo sounding sostenuto stage sticking sticks stop stopped strike stroke \
     strokes sulla tacet tacent take tap throw timbre timbro tip touch tr trem tremolo tremolieren trille trill trillo tune tuning \
     turn ungedampft unmeasured upstage verso vibrare vibrate vibrer vibr wirbel wooden wood",
    // Form and place.
    "act aktion atto attacca auftakt aria ballet bild buhne chorus coda curtain da capo doppelstrich ende episode fin finale fine \
     fortsetzung g.p gp introduction intro introduktion letter movement mvt nr num number ouverture overture part partie recit \
     recitativo refrain reprise satz scena scene schluss segno suite takt takte teil theme thema tema trio v.s vs var variation \
     vide vorhang vorspiel zwischenspiel chor choeur cadenza kadenz",
];

/// Whether words are known to name no instrument, or are too many to name one.
pub(crate) fn is_plain(words: &[Token]) -> bool {
    let known = |word: &str| {
        word.len() < 2
            || word.bytes().all(|b| b.is_ascii_digit())
            || PLAIN.iter().any(|line| line.split(' ').any(|plain| plain == word))
    };
    words.len() > MOST_WORDS || words.iter().all(|word| known(&word.text))
}
