//! Names: common ones of many languages, from memory. The lists are no census.

/// Given names that are nothing else.
pub(in crate::deidentify) const GIVEN_NAMES: &str = "\
    aaron abdul abigail adam adrian agnes ahmed aisha alan albert alexander alexandra alice alison amanda \
    amelia amina amy ana andrea andrew angela anita ann anna anne anthony antonio arthur ayesha barbara \
    beatrice benjamin bernard beth betty brenda brian bridget bruce camilla carl carlos caroline catherine \
    charles charlotte chiara chloe christina christine christopher claire clara colin craig daniel david \
    deborah deepak denise dennis derek diana dimitri dmitri donald donna dorothy douglas edith edward eileen \
    elaine eleanor elena elizabeth emily emma eric esther ethan eugene eva evelyn fatima fiona frances \
    francesca francesco freya gary geoffrey george georgina gerald gillian giovanni giulia gordon graham \
    greta hannah hans harold harriet harry hassan helen helga henry hiroshi hugh ian ibrahim imogen ingrid \
    irene isabel isabella ivan jacqueline jacob jane janet jason javier jennifer jeremy jessica joan joanna \
    johannes john jonathan jorge joseph josephine joshua juan judith julia julian julie karen karl katherine \
    kathleen keith kenneth kevin khalid kumar kwame laura lauren leila leonard linda lisa louise lucia lucy \
    luis lukas lydia malcolm margaret maria marie marion martha martin mary matthew maureen megan mehmet \
    melissa michael michelle miriam mohamed mohammed monica muhammad nadia nancy natalie nathan neil \
    nicholas nicola nigel nina norman oliver olivia oscar pablo patricia patrick paul paula pauline peter \
    philip phyllis priya rachel rajesh ralph raymond rebecca richard robert roger ronald rosa rosemary roy \
    rukmini russell ruth samantha samuel sandra sarah sergei sharon sheila shirley simon sofia sonia sophia \
    sophie stanley stella stephanie stephen steven stuart susan suresh sylvia tamara teresa theresa thomas \
    timothy tobias tracy ursula valerie vera vijay vincent walter wendy william winifred wolfgang yasmin \
    yusuf yvonne zainab zoe adelheid adebayo aditi adriana agata agnieszka ahmad akira aleksander aleksandra \
    aleksandr alejandra alejandro alena alessandra alessandro alessia alexandre alexia alexis alfred alfredo \
    alicia alina alistair aliyah alma altan álvaro amal amalia amandine amara amir amit ananya anastasia \
    anders andrei andrés andrzej andré anette angelica angelo angelika anil anika anja anjali anke anneliese \
    annemarie annette annika anouk antoine antonia antónio anton aoife arjun armando arnaud arne arvind asha \
    astrid atsushi audrey aurélie axel aylin ayse ayşe aziz bartosz beata beatriz ben benedict benedikt \
    bengt benoît bernadette bernd birgit birgitta björn bogdan boris bożena brandon britta bruno burak \
    caitlin cameron carla carlo carmela carmen carolina carsten cécile cedric céline charlie chandra chantal \
    chinedu chukwuemeka christa christelle christophe ciara claudia claudio clémence colette concetta connor \
    conor constantin cristina cynthia dagmar daisuke damian damien daniela daniele danielle danuta darren \
    dave débora debbie denis diane diego dieter dietmar dimitrios diogo dirk domenico dominik dominique \
    dorota dorothea duncan dylan ebony eduardo edoardo ekaterina eleni élodie elif elisa elisabeth \
    elisabetta elise elke ellen elsa emanuela emeka emil émile emilia emilie emine emmanuel enrico enrique \
    erik erika estelle esteban eszter étienne ewa fabian fabien fabio farah farid fatma fatou federica \
    federico felix ferdinand fernanda fernando filip filippo florian françois françoise frauke fred frédéric \
    frederick frieda friedrich fritz gabriel gabriela gabriele gabriella gaurav gavin geert geneviève georg \
    georges gerard gerda gerhard gertrud giacomo giorgio giorgos giuseppe gisela grzegorz guillaume \
    guillermo gunnar günter günther gustav gustavo guadalupe halina hamza hanna hanne harald harish hatice \
    hector héctor heidi heike heinrich heinz helena helene hélène hendrik herbert hermann hilda hilde hubert \
    hugo hüseyin ifeoma ignacio igor ilse inés ines inge ingeborg ioana irena irina isabelle ismail ivana \
    iwona jaap jacek jacques jadwiga jaime jakob jakub jamal james jamie jan janina janusz jarosław javed \
    jeanne jeff jeffrey jelena jens jerzy jesús jim joachim joanne joaquín joão jochen joe joel jolanta jörg \
    josé josef józef juliette jürgen justyna kamil kapil karim karin karolina katarina katarzyna kate \
    katharina kathrin kathy katja kavita kazimierz kelly kemal ken kerstin kim kirsten klaus konrad krishna \
    kristen kristian kristin kristina kristoffer krystyna krzysztof kurt lakshmi lars larissa lea léa lech \
    leon leonie leopold leszek lieselotte liam lorenzo lorraine lothar luca lucas lúcia luciana ludwig luigi \
    luisa luís luiz lutz łukasz maciej madeleine magda magdalena magnus mahmoud malgorzata małgorzata \
    manfred manuel manuela marc marcel marcello marcelo marcin marco marcos marcus marek margarita margot \
    margret mariam marian mariana marianne marilyn mario marius marisol mariusz marjorie markus marlene \
    marta martina martine martyna massimo mateusz mathias mathieu mathilde matilde matteo matthias matthijs \
    mattias maurice maurizio mauricio melanie meryem mia michał michel michela michele miguel mihai mike \
    mikael milena miroslav mohammad mohamad mohan molly monika moritz murat mustafa nadine naomi natalia \
    natasha nathalie neha niamh nicolas nicole niels nikolai nikos nils noémie nora norbert nuno nuria odile \
    olaf ole oleksandr olena olga olgierd omar orla osman oskar otto paola paolo parvati pascal patrik \
    paulina paulo paweł pedro peggy petra phoebe pierre pietro piotr pilar pooja pradeep pranav preeti \
    przemysław quentin rafael rafał raffaele rahul raimund rainer raj rajiv ralf ramesh ramón randy raquel \
    raúl ravi reinhard reinhold renata renate renato renaud rené renée ricardo riccardo rita roberta roberto \
    rodrigo roland rolf ronja rosalie rosario rosemarie rubén rudolf ryan sabine sabrina salma salvatore \
    samira sandeep sandrine sanjay santiago sara saskia scott sean sebastian sébastien selim selma sergio \
    sevgi shanice shreya siegfried sigrid silke silvia simona simone siobhan sławomir solange sonja søren \
    stanisław stefan stefania stefano steffen steve sunil sunita susana susanne svetlana sven swati sylvie \
    szymon tadeusz takashi tania tanja tariq tatiana terry thérèse theo theodor thierry thijs thorsten tiago \
    timo tina tom tomás tomasz toni tony torsten ulla ulrich ulrike urszula uta uwe valentina valérie \
    vanessa veronica véronique vicente vikram viktor viktoria vincenzo virginie vladimir volker waltraud \
    wanda wiebke wiesław wilhelm willem wilma wojciech xavier yann yannick yasemin yolanda yuki yuri yves \
    zbigniew zdzisław zeynep zofia zuzanna özlem ömer ümit şükrü çiğdem łucja żaneta élise éric óscar ángel \
    ângela åsa göran håkan jörgen lennart adele ailsa alasdair angus anjelica arturo aurelio bashir bilal \
    blessing brendan bronwyn callum carys catriona chidi chloé cillian dafydd declan deirdre dewi eamon \
    eilidh emyr farrah fergus gareth geraint gwen gwyneth hamish hussain imran iqbal kavya kieran leanne \
    lewis lorna mairead mandeep manpreet moira morag nasreen nia nkechi obinna oisín olufemi padraig rhys \
    rizwan roisin rory ruairi salim samir seamus shabnam shazia shona sinead sioned stewart sukhdev temitope \
    tobi usha wasim zahra zara jasmine kayla ashley brittany courtney jesse kyle logan madison tyler travis \
    wayne zachary larry jerry lori cheryl kimberly jacquelyn marvin stacey stacy tammy troy vernon yvette";

/// Given names that are words, towns or surnames as well.
pub(in crate::deidentify) const NAMES_AND_WORDS: &str = "\
    grace will hope faith joy mark rose bill pat sue rob frank dawn ray art ivy lily olive heather holly \
    iris jade ruby pearl penny summer autumn christian dean grant guy jack jean chase cliff cole chuck dale \
    drew earl gene glen jay lance miles nick norm peg reed rich skip wade wren june april violet daisy basil \
    angel harmony mercy patience prudence constance felicity amber ginger hazel laurel myrtle rusty sandy \
    stone don bob max carol robin jordan chance barb gay viola victor clement ernest major august florence \
    victoria virginia georgia milan dolores mercedes melody rocky brook brooke crystal tiffany misty candy \
    cherry clay forest hunter mason tanner taylor carter cooper parker harper archer piper porter rowan sage \
    willow aurora dusty buddy roman lee lane leigh kit ted fern faye star sky bella wei mei lin chen nelson";

/// Surnames that are words of everyday English as well: they count where a person acts or is told.
pub(in crate::deidentify) const SURNAMES_AND_WORDS: &str = "\
    x abbot archer armour ash baker ball banks barber barker bell bird bishop black blake boyle brewer \
    bridges bright brown burns bush butcher butler carpenter carver chambers chapman clark church coates \
    cole cook cooper crane cross curry day dean drake draper dyer farmer field fields finch fisher fletcher \
    flint flowers forester fowler fox french frost fuller gardener gates gibbon glover good goodman green \
    gross gunn hale hall hare harper hart hawk hayes head heath herd herring high hill holmes holt hood \
    hooper house howe hunt hunter hurst hyde joiner joyce judge keen key king kirk knight lamb land lark law \
    lawless leach leaf little lock long love low major marsh mason may mercer miller mills monk moody moon \
    moore moss myers nail nash newton noble north oak page parish park parsons peacock pearce penny piper \
    plum pond pool pope porter potter pound power prince quick rains read reader reed rice rich ridge \
    rivers roach rock rose rush sadler sawyer self sellers sharp shepherd short silver singer skinner slater \
    small smart smith snow south spear spence stamp steel stern stone storm strong summers swift \
    tailor tanner thatcher thorn tiller townsend turner tyler underwood vale vine waite wake walker wall \
    waller ward warden waters weaver webb wells west wheeler white whitehead wild winter winters wise wolf \
    wood woods woodward wright young";
