/**
 * Headings as organisers write them, for each thing a list can tell. The first that is there wins, so the order counts:
 * English first, then other languages of large road races, from general knowledge.
 */
export const HEADINGS = {
  bib: [
    ...['Bib', 'Bib No', 'Bib number', 'Number', 'Start number', 'Race number', 'No', '#'],
    ...['Startnummer', 'Startnr', 'St.-Nr.', 'StNr', 'Stnr', 'Nummer', 'Nr'],
    ...['Dossard', 'N° dossard', 'Numéro de dossard', 'Numéro', 'N°', 'Num'],
    ...['Dorsal', 'Nº dorsal', 'Número de dorsal', 'Número', 'Núm'],
    ...['Pettorale', 'N. pettorale', 'Pett.', 'Numero'],
    ...['Rugnummer', 'Borstnummer', 'Peito', 'Nº de peito', 'Startnummer', 'Nummerlapp', 'Startno'],
    ...[
      'N° de dossard',
      'No de dossard',
      'Nº de dorsal',
      'N. di pettorale',
      'Start nummer',
      'Numéro dossard',
      'No dossard',
      'Nº',
      'Número dorsal',
      'N dorsal',
      'Num dorsal',
    ],
    ...['Numero pettorale', 'N pettorale', 'Numero di pettorale', 'Numero gara', 'Wedstrijdnummer', 'Loopnummer'],
    ...['Número de peito', 'Nº do dorsal', 'Número do dorsal', 'Numeral', 'Løbsnummer', 'Brystnummer', 'Bröstnummer'],
    ...['Rintanumero', 'Juoksijanumero', 'Kilpailunro', 'Nro', 'Numero'],
    ...['ナンバー', 'ナンバーカード', 'ゼッケン', '参赛号', '배번'],
    ...['Kilpailunumero', 'Numer startowy', 'Nr startowy', 'Numer', 'Startovní číslo', 'Číslo', 'Rajtszám'],
  ],
  // "Runner" alone is a name in most lists.
  runner: ['Runner code', 'Runner ID', 'Person code'],
  finish: [
    ...['Finish', 'Finish time', 'Chip Time', 'Net time', 'Time', 'Result'],
    ...['Official time', 'Gun time', 'Elapsed time', 'Clock time', 'Finishing time', 'Race time', 'Total time'],
    ...['Nettozeit', 'Zeit netto', 'Netto', 'Zielzeit', 'Endzeit', 'Laufzeit', 'Zeit', 'Bruttozeit', 'Brutto'],
    ...['Temps net', 'Temps réel', 'Temps puce', 'Temps', 'Temps officiel', 'Chrono'],
    ...['Tiempo neto', 'Tiempo chip', 'Tiempo real', 'Tiempo', 'Tiempo oficial', 'Marca', 'Meta'],
    ...['Tempo netto', 'Real time', 'Tempo', 'Tempo ufficiale', 'Tempo líquido', 'Tempo bruto'],
    ...['Nettotijd', 'Netto tijd', 'Eindtijd', 'Tijd', 'Brutotijd', 'Bruto tijd'],
    ...['Nettotid', 'Sluttid', 'Tid', 'Nettoaika', 'Loppuaika', 'Aika', 'Czas netto', 'Czas', 'Čistý čas', 'Čas'],
    ...['Tijd netto', 'Tempo final', 'Tempo gara', 'Bruttotid', 'Bruttoaika', 'Czas brutto', 'Hrubý čas'],
    ...['Chip finish', 'Net finish', 'Gun finish', 'Finish net', 'Finish gun', 'Chip', 'Net', 'Gun'],
    ...['Temps brut', 'Temps pistolet', 'Tiempo bruto', 'Tempo lordo'],
    ...['Nettó idő', 'Hivatalos idő', 'Befutó idő', 'Idő', 'Bruttó idő'],
    ...['ネットタイム', 'グロスタイム', 'タイム', '記録', '净成绩', '枪声成绩', '기록'],
  ],
  name: [
    ...['Name', 'Full name', 'Runner', 'Athlete', 'Participant', 'Competitor'],
    ...['Teilnehmer', 'Läufer', 'Nom et prénom', 'Nom prénom', 'Coureur', 'Participante', 'Nombre y apellidos'],
    ...['Corredor', 'Atleta', 'Nominativo', 'Naam', 'Deelnemer', 'Navn', 'Namn', 'Nimi', 'Imię i nazwisko', 'Nome'],
    ...['Name Vorname', 'Nachname Vorname', 'Vorname Name', 'Vor- und Nachname', 'Vor- und Zuname', 'Teilnehmername'],
    ...['Nom et prénoms', 'Prénom et nom', 'Prénom nom', 'Participant(e)', 'Coureur / coureuse'],
    ...['Nombre completo', 'Nombre y apellido', 'Apellidos y nombre', 'Apellidos nombre', 'Inscrito'],
    ...['Cognome e nome', 'Cognome nome', 'Nome e cognome', 'Nome cognome', 'Partecipante', 'Concorrente'],
    ...['Volledige naam', 'Voor- en achternaam', 'Naam deelnemer', 'Loper', 'Nome completo', 'Nome do atleta'],
    ...['Fulde navn', 'Deltager', 'Løber', 'Fullt navn', 'Deltaker', 'Løper', 'För- och efternamn', 'Deltagare'],
    ...['Fullständigt namn', 'Löpare', 'Koko nimi', 'Osallistuja', 'Juoksija'],
    ...['Nombre', 'Nom', 'Jméno'],
  ],
  firstName: [
    ...['First name', 'Given name', 'Forename', 'Vorname', 'Prénom', 'Nombre', 'Nome', 'Voornaam', 'Fornavn'],
    ...['Förnamn', 'Tilltalsnamn', 'Etunimi', 'Rufname', 'Roepnaam', 'Primeiro nome', 'Nome próprio', 'Imię', 'Jméno'],
  ],
  lastName: [
    ...['Last name', 'Surname', 'Family name', 'Nachname', 'Familienname', 'Zuname', 'Nom de famille', 'Nom'],
    ...['Apellidos', 'Apellido', 'Cognome', 'Sobrenome', 'Apelido', 'Achternaam', 'Etternavn', 'Efternavn'],
    ...['Efternamn', 'Sukunimi', 'Primer apellido', 'Último nome', 'Slægtsnavn', 'Slektsnavn', 'Nazwisko', 'Příjmení'],
  ],
  sex: [
    ...[
      'Sex',
      'Gender',
      'M/F',
      'F/M',
      'Geschlecht',
      'M/W',
      'W/M',
      'Sexe',
      'Genre',
      'Sexo',
      'Género',
      'Gênero',
      'Sesso',
    ],
    ...['H/F', 'F/H', 'H/M', 'M/H', 'D/H', 'H/D', 'K/M', 'M/K', 'M/N', 'N/M', 'V/M', 'M/F/X', 'M/W/D', 'Geschl.'],
    ...[
      'Civilité',
      'Anrede',
      'Kön (M/K)',
      'Kjønn (M/K)',
      'Genere',
      'Geslacht',
      'M/V',
      'Køn',
      'Kjønn',
      'Kön',
      'Sukupuoli',
      'Płeć',
      'Pohlaví',
      'Nem',
      '性別',
      '性别',
      '성별',
    ],
  ],
  age: [
    ...['Age', 'Age on race day', 'Alter', 'Âge', 'Edad', 'Età', 'Idade', 'Leeftijd', 'Alder', 'Ålder', 'Ikä', 'Wiek'],
    ...['Věk', 'Lebensalter', 'Años cumplidos', '年齢', '年龄', '나이'],
  ],
  born: [
    ...['Year of birth', 'Birth year', 'YOB', 'Born', 'Date of birth', 'Birth date', 'Birthday', 'DOB'],
    ...['Jahrgang', 'JG', 'Geburtsjahr', 'Geb.-Jahr', 'Geburtsdatum', 'Geb.-Datum', 'Geb', 'Geboren'],
    ...['Année de naissance', 'Année', 'Né(e) en', 'Date de naissance', 'Naissance'],
    ...['Año de nacimiento', 'Año nac', 'Año', 'Fecha de nacimiento', 'Nacimiento'],
    ...['Anno di nascita', 'Anno nascita', 'Anno', 'Data di nascita', 'Ano de nascimento', 'Data de nascimento'],
    ...['Geboortejaar', 'Geboortedatum', 'Födelseår', 'Född', 'Fødselsår', 'Født', 'Fødselsdato', 'Syntymävuosi'],
    ...[
      'Geb.-Dat.',
      'Geburtstag',
      'Jahrg.',
      'Né(e) le',
      'Né en',
      'Né le',
      'An. naiss.',
      'Date naissance',
      'Année naiss.',
    ],
    ...['Año nacimiento', 'Fecha nacimiento', 'F. nacimiento', 'Fecha nac.', 'Data nascita', 'Nato il', 'Nascita'],
    ...[
      'Data nascimento',
      'Ano nascimento',
      'Data de nasc.',
      'Nascimento',
      'Geb.dat.',
      'Geb.datum',
      'Bouwjaar',
      'Jaargang',
    ],
    ...['Fødselsdag', 'Fødselsår/dato', 'Fødeår', 'Födelsedatum', 'Födelsedag', 'Årgång', 'Årgang', 'Syntymäaika'],
    ...[
      'Syntymäpäivä',
      'Synt.vuosi',
      'Rok urodzenia',
      'Rok ur.',
      'Rocznik',
      'Data urodzenia',
      'Ročník',
      'Rok narození',
      'Datum narození',
    ],
  ],
  team: [
    ...['Team', 'Squad', 'Club', 'Running club', 'Verein', 'Mannschaft', 'Laufgruppe', 'Équipe', 'Equipo', 'Squadra'],
    ...[
      'Società',
      'Equipa',
      'Clube',
      'Ploeg',
      'Vereniging',
      'Klub',
      'Klubb',
      'Förening',
      'Seura',
      'Joukkue',
      'Drużyna',
    ],
    ...[
      'Vereinsname',
      'Verein/Ort',
      'Verein / Team',
      'Team/Verein',
      'Laufteam',
      'Association',
      'Club/équipe',
      'Équipe/club',
    ],
    ...[
      'Club deportivo',
      'Asociación',
      'Società sportiva',
      'Gruppo sportivo',
      'Squadra/società',
      'Loopgroep',
      'Clubnaam',
    ],
    ...['Agremiação', 'Equipe', 'Coletividade', 'Løbeklub', 'Forening', 'Hold', 'Lag', 'Idrettslag', 'Löparklubb'],
    ...['Klubb/ort', 'Klub/by', 'Urheiluseura', 'Oddíl', 'Tým'],
  ],
  start: [
    ...['Start', 'Start time', 'Own start', 'Wave start', 'Startzeit', 'Heure de départ', 'Départ', 'Hora de salida'],
    ...['Salida', 'Orario di partenza', 'Ora partenza', 'Partenza', 'Starttijd', 'Starttid', 'Lähtöaika'],
    ...['Startuhrzeit', 'Startblockzeit', 'Heure départ', 'Hora salida', 'Ora di partenza', 'Ora partenza', 'Startuur'],
    ...['Hora de partida', 'Hora de largada', 'Partida', 'Largada', 'Starttidspunkt', 'Startgruppetid', 'Lähtö'],
  ],
  status: ['Status', 'Statut', 'État', 'Estado', 'Stato', 'Situazione', 'Situação', 'Tila', 'Stav'],
} as const satisfies Record<string, readonly string[]>;

export type OrganiserField = keyof typeof HEADINGS;

/** A heading as it is compared: case, blanks, punctuation and accents do not count. */
export function plainHeading(heading: string): string {
  if (heading.trim() === '#') return '#';
  return heading
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]/gu, '');
}

const PLAIN_HEADINGS = Object.fromEntries(
  Object.entries(HEADINGS).map(([field, names]) => [field, names.map(plainHeading)]),
) as Record<OrganiserField, string[]>;

/**
 * Which column tells which field, by its heading: an index from 0, or `null`. No column serves two fields; fields given
 * first choose first.
 */
export function recogniseHeadings<Field extends OrganiserField>(
  headings: readonly string[],
  fields: readonly Field[],
): Record<Field, number | null> {
  const taken = new Set<number>();
  const found = {} as Record<Field, number | null>;
  for (const field of fields) found[field] = null;
  // As they stand first, so that "Time (gun)" never takes the place of "Time".
  for (const plain of [headings.map(plainHeading), headings.map(withoutRemark)]) {
    for (const field of fields) {
      if (found[field] !== null) continue;
      const at = firstNamed(plain, PLAIN_HEADINGS[field], taken);
      if (at < 0) continue;
      found[field] = at;
      taken.add(at);
    }
  }
  return found;
}

function firstNamed(plain: readonly string[], names: readonly string[], taken: ReadonlySet<number>): number {
  for (const name of names) {
    const at = plain.findIndex((heading, i) => heading === name && !taken.has(i));
    if (at >= 0) return at;
  }
  return -1;
}

/** A heading without what stands in brackets behind it: "Finish Time (h:mm:ss)". */
const withoutRemark = (heading: string): string => plainHeading(heading.replace(/\s*[([].*$/, ''));

/** Times from the gun, and from each runner's own start, among the headings of finish times. From general knowledge. */
const GUN = /gun|brut|bruto|brutto|lordo|hruby|offici|oficial|ufficiale|pistolet|clock/;
const NET = /chip|net|real|reel|puce|liquido|cisty/;

/** Which clock a heading of finish times names; `null` when it does not say. */
export function clockOfHeading(heading: string): 'gun' | 'net' | null {
  const plain = plainHeading(heading);
  return GUN.test(plain) ? 'gun' : NET.test(plain) ? 'net' : null;
}

/** All columns whose heading stands for a field, the usual ones first, and those with a remark in brackets last. */
export function columnsFor(headings: readonly string[], field: OrganiserField): number[] {
  const named = (plain: readonly string[]): number[] =>
    PLAIN_HEADINGS[field].flatMap((name) => plain.flatMap((heading, i) => (heading === name ? [i] : [])));
  return [...new Set([...named(headings.map(plainHeading)), ...named(headings.map(withoutRemark))])];
}
