package job

import (
	"strconv"
	"strings"
)

// wording is the words of one fault: what is wrong, and what to do instead.
// {0}, {1} ... stand for what is given with the fault.
type wording struct{ what, hint string }

// wordings is every fault a file can have. Each has an entry of the same name in
// testdata/errors.
var wordings = map[string]wording{
	// The text.
	"file-too-big":    {"the file has {0} bytes, at most {1} are read", "a job or a lathe is a few dozen lines: is this the right file?"},
	"too-many-faults": {"more than {0} faults: the rest is not listed", "mend these and check again"},
	"bad-character":   {"{0} is no readable character", "delete it and type it again, and save the file as UTF-8 text"},
	"long-line":       {"the line has {0} characters, at most {1} are read", "break a long list after a comma"},

	// Lines that cannot be read.
	"unreadable-line":    {"this line cannot be read", "a line is key = value, a heading such as {0}, or a comment after #"},
	"unreadable-heading": {"this heading cannot be read", "write {0} alone on its line"},
	"unreadable-key":     {`"{0}" has a space in it`, "a key is one word, such as {1}"},
	"no-equals":          {"{0} has no equals sign behind it", `write {0} = {1}`},
	"no-key":             {"nothing stands before the equals sign", "write key = value, or # before a comment"},
	"no-value":           {"{0} has no value", "write {0} = and then its value, or delete the line"},
	"curly-quotes":       {"the value of {0} is not in straight quotes", `write {0} = "{1}"`},
	"unclosed-quote":     {"the value of {0} has no closing quote", `write {0} = "{1}"`},
	"backslash":          {"the value of {0} has a backslash, which begins a special character", "leave it out, or use single quotes around the value"},
	"text-after-value":   {`"{0}" stands behind the value of {1}`, `write {1} = "{2}" alone, or put # before a comment`},
	"no-quotes":          {"the value of {0} is not in quotes", `write {0} = "{1}"`},
	"decimal-comma":      {"{0} has a decimal comma, no unit and no quotes", `write a point, the unit and quotes: {1} = "{2} mm"`},
	"unreadable-number":  {"{0} is no number that can be read", "write a plain number such as 100 or 0.8"},
	"unreadable-list":    {"the list of {0} cannot be read", "put commas between its entries and ] at its end, such as [20, 30, 40]"},
	"unreadable-table":   {"the table of {0} cannot be read", `write it as {0} = { width = "4 mm", diameter = "9.4 mm" }, with commas between`},
	"bad-truth":          {"{1} is {0}, which is neither true nor false", "write {1} = {2}"},

	// Keys and headings.
	"duplicate":       {"{0} is already given on line {1}", "keep one of the two"},
	"single-brackets": {"[{0}] has one pair of brackets", "write [[{0}]]: there may be several"},
	"double-brackets": {"[[{0}]] has two pairs of brackets", "write [{0}]: there is only one"},
	"unknown-key":     {"{0} is not known{1}", "{2}"},
	"misplaced-key":   {"{0} does not belong {1}", "{2}"},
	"missing":         {"{0} is missing", "write {1}"},

	// Values of any kind.
	"wrong-type":      {"{0} is {1}, not {2}", "write {0} = {3}"},
	"no-unit":         {"{0} is {1} without a unit", "write {2}"},
	"empty":           {"{0} is empty", "write {0} = {1}"},
	"note-characters": {"{0} has a character that cannot be shown, {1}", "write it on one line, in plain letters"},
	"thread-note":     {"thread_note stands where there is no thread", "write note, which is shown at the first step there"},
	"long-text":       {"{0} has {1} characters, at most {2} are shown", "write it shorter"},
	"not-one-of":      {`{0} is "{1}"`, "{2}"},
	"bad-length":      {"{0}: {1}", "{2}"},
	"bad-size":        {"{0}: {1}", "{2}"},
	"bad-lead":        {"{0}: {1}", "{2}"},
	"bad-speed":       {"{0}: {1}", "{2}"},
	"below-zero":      {"{0} is {1}, not above zero", "write {0} = {2}"},
	"out-of-range":    {"{0} is {1}, outside {2} to {3}", "{4}"},
	"zero-tolerance":  {"{0} has no room between its limits of {1}", "write a tolerance that can be met and measured, such as ±0.02 mm"},
	"not-a-table":     {"{0} is {1}, not a table", "write {2}"},
	"section-count":   {"there are more than {0} sections", "make the part in two jobs"},
	"tool-count":      {"there are more than {0} tools", "leave out those that are not used"},
	"material":        {"{0}", "{1}"},
	"name-twice":      {"section {0} has the name \"{1}\" of section {2}", "give each section a name of its own, or none"},
	"name-characters": {`"{0}" is no name for a section`, "use letters, figures, spaces and hyphens, beginning with a letter"},

	// The geometry of a job.
	"no-section":        {"the job has no section", `write [[section]] with diameter = "16 mm h9" and length = "8 mm", from the free end towards the chuck`},
	"section-kind":      {"section {0} does not say what it is", `write one of thread = "M12x1.75-6g", diameter = "16 mm h9" or as_bar = true`},
	"section-two-kinds": {"section {0} has {1} beside {2}", "keep one of the two"},
	"hole-zone":         {"{0} {1} is the tolerance of a hole", "an outside diameter has a small letter: write {0} {2}"},
	"thread":            {"thread: {0}", "{1}"},
	"inside-thread":     {"{0} is an inside thread", "only outside threads are cut here: write {1}"},
	"multi-start":       {"{0} has {1} starts and is left-hand", "a left-hand thread begins in its groove, where there is no room to move from start to start: only one start is planned"},
	"larger-than-bar":   {"{0} is larger than the bar of {1}", "take a bar of at least {2}"},
	"no-clean-up":       {"{0} leaves {1} on diameter to turn off a bar of {2}", "leave the bar as it is with as_bar = true, or take a bar of at least {3}"},
	"thinner-behind":    {"section {0}, {1}, is thinner than section {2} in front of it, {3}", "turn it from the other end: from one end the part may only get thicker towards the chuck"},
	"as-bar-not-last":   {"section {0} is left as the bar but is not the last", "only the section next to the chuck can stay at the bar's diameter"},
	"longer-than-out":   {"section {0} is {1} long, and {2} of the bar can be worked", "let the bar stick out at least {3}, which leaves {4} to the jaws, or make the part shorter"},
	"stickout-short":    {"stickout {0} is too short: {1} need {2}", `write stickout = "{3}" or make the part shorter`},
	"bar-short":         {"a bar {0} long cannot stick out {1} of the jaws", `write bar_length = "{2}" or more, which leaves its diameter and a half to the jaws, or less stickout`},
	"parting-on-centre": {"a part held on a centre cannot be parted off", "write part_off = false and saw it off afterwards"},
	"quantity-centre":   {"{0} parts by stops cannot be held on a centre", "leave quantity out and follow the plan for each part, or hold it in the chuck alone"},
	"undercut-on-plain": {"section {0} has an undercut but no thread", "leave undercut out: only a thread has one here; a groove for a ring is written as groove"},
	"no-undercut":       {"section {0}, {1}, runs to a shoulder without an undercut", `write undercut = "regular", which for a pitch of {2} is {3} to {4} wide by {5}, or undercut = "short", {6} to {7}{8}`},
	"no-undercut-own":   {"section {0}, {1}, runs to a shoulder without an undercut", `write undercut = { width = "{2}", diameter = "{3}" }: DIN 76-1 has none for a pitch of {4}{5}`},
	"runout-on-plain":   {"section {0} has a run-out but no thread", "leave runout out: only a thread has one"},
	"runout-undercut":   {"section {0} has a run-out beside an undercut", "keep one of the two: a thread ends in a groove or fades out"},
	"runout-left":       {"section {0}, {1}, is left-hand and has a run-out: its passes start at the shoulder", `write undercut = "regular": there the tool has a groove to start from`},
	"runout-form":       {"DIN 76-1 has no run-out for a pitch of {0}", `write the length in front of the shoulder that may be without full thread: runout = "{1}"`},
	"runout-not-here":   {"bore {0} has a run-out but no thread that fades out in it", "leave runout out: only a thread cut to a depth with a threading tool needs one"},
	"runout-recess":     {"bore {0} has a run-out beside a recess", "keep one of the two: a thread ends in a groove or fades out"},
	"runout-deep":       {"a run-out of {0} leaves no turn of full thread in a bore {1} deep for {2}", "make the bore deeper or the run-out shorter"},
	"runout-long":       {"a run-out of {0} leaves no turn of full thread on a section of {1}", "make the section longer or the run-out shorter"},
	"undercut-form":     {"undercut: {0}", "{1}"},
	"undercut-wide":     {"with {0} no turn of thread is left on a section of {1}", "make the section longer or the undercut narrower"},
	"undercut-narrow":   {"an undercut of {0} is narrower than one pitch of {1}", "make it at least {2} wide, better three pitches"},
	"undercut-shallow":  {"an undercut of {0} diameter is not below the root of {1}, which may lie at {2}", "make it {3} or less"},
	"undercut-deep":     {"an undercut of {0} diameter leaves less than half of {1}", "make it {2} or more"},
	"chamfer-step":      {"a chamfer of {0} is larger than the step of {1} in front of it", "make it {1} or less, or leave it out"},
	"chamfer-no-step":   {"section {0} has a chamfer but no edge: it is no larger than what is in front of it", "leave chamfer out"},
	"chamfer-radius":    {"a chamfer of {0} reaches the middle of {1}", "make it smaller than the radius of {2}"},
	"chamfer-long":      {"a chamfer of {0} is longer than its section of {1}", "make it smaller, or the section longer"},
	"tip":               {"{0}", "{1}"},

	// Grooves in a section.
	"groove-count":       {"section {0} has more than {1} grooves", "make two sections of it"},
	"groove-here":        {"section {0} has a groove and is {1}", "a groove stands in a plain turned section: make one of its own for it"},
	"groove-zone":        {"{0} {1} is the tolerance of a hole", "the bottom of a groove outside has a small letter, such as h11"},
	"groove-shallow":     {"a groove down to {0} hardly goes into a section of {1}", "make it {2} or less"},
	"groove-deep":        {"a groove down to {0} leaves less than half of {1}", "make it {2} or more"},
	"groove-no-shoulder": {"section {0} ends where the part is parted off: no shoulder is there to measure from", "write its place from the free end, or leave from out"},
	"groove-land":        {"beside the groove stays {0} of its section {1}", "leave at least {2}, chamfer and tolerances taken off"},
	"groove-close":       {"between this groove and the one in front of it stays {0}", "leave at least {1}, tolerances taken off"},
	"groove-measure":     {"the grooves of section {0} leave {1} of it at most to measure its diameter on", "leave {2} somewhere"},
	"second-groove":      {"section {0} of the second setting has a groove", "grooves are cut in the first setting: put it on a section there"},

	// Radii.
	"corner-here":   {"section {0} has a corner radius, but {1}", "leave corner out"},
	"corner-step":   {"a corner radius of {0} is more than half of the shoulder of {1}", "make it {2} or less, or the step larger"},
	"corner-second": {"section {0} has a corner radius, and the part is turned round", "leave corner out, or make the other end by a job of its own"},
	"round-chamfer": {"section {0} has a rounded edge beside a chamfer", "keep one of the two"},
	"round-here":    {"section {0} has a rounded edge and is {1}", "write a chamfer, or break the edge by hand"},
	"round-step":    {"an edge rounded by {0} needs a face of {1} in front of it, there is {2}", "make it {3} or less"},
	"round-long":    {"an edge rounded by {0} leaves less than {2} of its section of {1}", "make it smaller, or the section longer"},
	"second-radius": {"section {0} of the second setting has {1}", "radii are made in the first setting: write a chamfer there, or leave it out"},

	// Tapers.
	"taper":             {"taper: {0}", "{1}"},
	"taper-bare":        {"taper {0} does not say which angle it is", `write "{0} included", which sets the top slide to {1}, or "{0} half", whose sides are {2} apart`},
	"taper-diameter":    {"section {0}, {1}, does not say how thick it is", "write diameter = the size of its large end, towards the chuck"},
	"taper-kind":        {"section {0} has {1} beside {2}", "a tapered section has a diameter, that of its large end: make the rest a section of its own"},
	"taper-both":        {"section {0} has taper beside small", "keep one of the two: the small end follows from the taper, the large end and the length"},
	"taper-small":       {"a small end of {0} is not smaller than the large end of {1}", "the small end is at the free end; turn the part round in the job, or make it smaller"},
	"taper-slight":      {"{0} changes the diameter by {1}", "a cone is turned from {2} upwards: make it a cylinder, or longer"},
	"taper-point":       {"{0} over {1} leaves less than 1 mm of {2}", "make the section {3} long or less"},
	"taper-not-first":   {"section {0} is tapered and not the first", "only the section at the free end is turned as a cone: the tool starts in front of it"},
	"taper-chamfer":     {"section {0} has a chamfer at the small end of its taper", "leave chamfer out: the edge is broken by hand when the part is deburred"},
	"second-taper":      {"section {0} of the second setting has a taper", "a taper is turned in the first setting: put it on the first section there"},
	"second-held-taper": {"section {0} is tapered: jaws do not hold it", "hold it by a cylinder"},
	"taper-quantity":    {"{0} parts by stops cannot have a taper", "leave quantity out: the angle is set and set back for each part"},

	// Taper pipe threads.
	"pipe-hand":  {"{0}: taper pipe threads are planned right-hand and of one start", "turncue calc thread gives its sizes and depths"},
	"pipe-short": {"a section of {0} is too short for {1}: its useful thread is {2}, {3} of run-out come on top, and the groove is {4}", "make it {5} or longer"},

	"runout-taper": {"{0} is a taper thread and has a run-out", "leave runout out: it fades out on the cylinder behind its cone by itself, or write undercut = { width = ..., diameter = ... }"},

	// Tapers in bores.
	"bore-taper-thread":    {"bore {0} has a taper beside its thread", "a cone has a diameter, that of its mouth: make the thread a bore of its own, or leave one of the two out"},
	"bore-taper-not-first": {"bore {0} is tapered and not the first", "only the bore at the end is made as a cone: the bar starts in front of it"},
	"bore-taper-both":      {"bore {0} has taper beside small", "keep one of the two: the small end follows from the taper, the mouth and the depth"},
	"bore-taper-diameter":  {"bore {0}, {1}, does not say how wide it is", "write diameter = the size of its mouth, the large end"},
	"bore-taper-small":     {"a small end of {0} is not smaller than the mouth of {1}", "a cone in a bore narrows inwards: make it smaller, or bore it from the other end in a job of its own"},
	"bore-taper-point":     {"{0} over {1} leaves less than 1 mm of a mouth of {2}", "make the cone {3} deep or less"},
	"bore-taper-steep":     {"{0} is a cone of {1} half angle", "cones in bores are planned up to {2} half: make it less steep, or a chamfer of 45 degrees"},
	"bore-taper-behind":    {"bore {0} behind the cone of bore {1} would be bored or tapped", `write by = "drill" or by = "ream" with limits these keep to, or make it from the other end in a job of its own`},
	"bore-taper-by":        {"bore {0} is a cone and cannot be made by {1}", "leave by out: a cone is bored with the top slide swivelled"},
	"bore-taper-chamfer":   {"bore {0} has a chamfer at the mouth of its taper", "leave chamfer out: the edge is broken by hand when the part is deburred"},
	"bore-taper-quantity":  {"{0} parts by stops cannot have a taper in the bore", "leave quantity out: the top slide is swivelled and set back for each part"},
	"bore-taper-second":    {"bore {0} has a taper, and the part is turned round", "leave second out, and make the other end by a job of its own"},
	"second-bore-taper":    {"bore {0} of the second setting has a taper", "a cone is bored in the first setting, from the free end"},

	// The knurl.
	"knurl-diameter":     {"section {0} has a knurl beside {1}", `a knurl is pressed into a turned blank: write diameter = "20 mm", over the knurl`},
	"knurl-blank":        {"section {0} cannot come to {1} to {2} over its knurl: {3}", "{4}"},
	"knurl-second":       {"a section of the second setting has a knurl", "knurl it in the first setting: it is pressed before what is beside it is finished"},
	"knurl-behind":       {"section {0} is knurled, and what is turned behind it would be finished before it or bent by it", "knurl the last section, which is parted off, or the first of two with the bar as it is behind it: as_bar = true"},
	"knurl-not-parted":   {"section {0} is knurled with a section in front of it, and it is not parted off", "write part_off = true: the wheels run past its end"},
	"knurl-turned-round": {"section {0} is knurled, and the second setting works on its end", "leave second out, or put the knurl at the free end with as_bar = true behind it"},
	"second-held-knurl":  {"{0} is knurled: jaws neither hold it true nor leave it whole", "hold it by a plain section"},
	"knurl-closing":      {"closing stands beside holder = \"bump\"", "leave closing out: it is what the nut of a clamp closes in a turn"},

	// The order of the work.
	"order-word":     {`order has "{0}"`, "{1}"},
	"order-twice":    {`order has "{0}" twice`, "keep one of the two"},
	"order-nothing":  {`order has "{0}", and the part has nothing of it`, "leave it out"},
	"order-name":     {`"{0}" in order has no {1}`, "write one of {2}, or {1} alone for all of them"},
	"order-whole":    {"order names a bore behind {0}", "write {0} alone: the bores of a part are made together"},
	"order-long":     {"order has more than {0} entries", "name operations alone: what is not named follows"},
	"order-quantity": {"order is fixed for a part that is made several times by stops", "leave order out, or leave quantity out and follow the plan for each part"},

	// The bores.
	"bore-count":               {"there are more than {0} bores", "make the part in two jobs"},
	"bore-name":                {"section {0} is called \"{1}\", and so is a bore", "give the section another name"},
	"shaft-zone":               {"{0} {1} is the tolerance of a shaft", "a bore has a capital letter: write {0} {2}"},
	"bore-depth":               {"bore {0} does not say how deep it is", `write depth = "20 mm", from the finished end, or through = true`},
	"bore-depth-through":       {"bore {0} has a depth and goes through", "keep one of the two"},
	"bore-through-first":       {"bore {0} goes through, and bore {1} is behind it", "give it a depth: only the deepest bore goes through"},
	"bore-not-parted":          {"a bore goes through only what is parted off behind it", "write part_off = true, or give the bore a depth"},
	"bore-on-centre":           {"a part held on a centre cannot be bored from that end", "leave support out and let less stick out, or bore it in a job of its own"},
	"bore-deep":                {"bore {0} is {1} deep in a part of {2}, and a drill's point of {3} comes on top", "write through = true, or make it {4} deep or less"},
	"bore-step-deep":           {"bore {0} ends at {1} in a part of {2}: nothing is left of bore {3} behind it", "make it {4} deep or less"},
	"bore-face":                {"a chamfer of {0} outside leaves no end face: {1} is between it and the bore", "make it {2} or less"},
	"bore-grows":               {"bore {0}, {1}, is not smaller than bore {2} in front of it, {3}", "bore it from the other end: from one end the hole can only get smaller inwards"},
	"bore-order":               {"bore {0} ends at {1}, not behind bore {2} at {3}", "every depth counts from the finished end, and the deepest bore comes last"},
	"bore-step-by":             {"bore {0} is a step in front of a smaller one and cannot be made by {1}", `write by = "bore", or leave by out`},
	"ream-blind":               {"a reamed bore of {0} that does not go through is not full size at its end", `write through = true, or by = "bore"`},
	"drill-close":              {"a tolerance of {0} is closer than a drill keeps", `write by = "ream" or by = "bore", or allow {1} or more`},
	"bore-wall":                {"bore {0}, {1}, leaves a wall of {2} in section {3}, {4}", "leave a wall of at least {5}: a bore of {6} or less"},
	"bore-chamfer-inside":      {"bore {0} has a chamfer but not its mouth at the end of the part", "leave chamfer out: only the first bore has one"},
	"bore-chamfer-deep":        {"a chamfer of {0} is as deep as its bore of {1}", "make it smaller, or the bore deeper"},
	"second-bore-thread":       {"bore {0} of the second setting has a thread", "threads in bores are cut from the first end: turn the job round, or tap it by hand afterwards"},
	"second-bore-mandrel":      {"the mandrel stands in the bore, and a bore is to be cut from the new end", "hold it by a section: by = \"soft jaws\" or a chuck"},
	"second-bore-chamfer":      {"bore_chamfer is given beside a bore from the new end", "write chamfer in the first [[second.bore]]"},
	"second-bore-mouth-none":   {"bore_chamfer is given, but no bore comes out at the new end", "make the last [[bore]] go through, or leave bore_chamfer out"},
	"second-bore-through":      {"bore {0} of the second setting goes through, but there is a hole through the part already", "write depth: a counterbore from the new end"},
	"second-bore-step":         {"bore {0} of the second setting, {1}, is no larger than the hole through the part, {2}", "{3} or more, or leave it out"},
	"second-bore-none":         {"bore {0} of the second setting goes through, but the first setting has no bore to meet", "make a [[bore]] of the first setting go through instead, or give this one a depth"},
	"second-bore-wide":         {"bore {0} of the second setting, {1}, meets a bore of {2} and should be smaller", "{3} or less; or make the [[bore]] go through and give this one a depth"},
	"second-bore-deep":         {"bore {0} of the second setting is {1} deep, and the first setting's leave {2} in front of a floor or a step of 1 mm", "a shallower bore, or through = true where it may meet the other"},
	"bore-chamfer-wide":        {"a chamfer of {0} leaves no end face: {1} is between the bore and the outside", "make it {2} or less"},
	"pick-up-key":              {"{0} has no place in a job that picks up a thread", "leave {0} out: the part is finished but for its thread, held in the chuck alone"},
	"pick-up-thread":           {"pick_up is true and there is {0}", "give the one thread that is picked up, and every other stretch by its diameter"},
	"threading-without-thread": {"threading is given but no thread is cut with a threading tool", "leave threading out"},
	"tip-without-thread":       {"tip is given but no section has a thread", "leave tip out"},
	"bore-two-kinds":           {"bore {0} has a diameter beside its thread", "keep one of the two: the thread says how wide its bore is"},
	"outside-thread":           {"{0} is an outside thread", "the thread of a bore is an inside one: write {1}"},
	"inside-kind":              {"{0} is {1}", "only parallel right-hand threads are made in a bore"},
	"thread-by":                {"{0} is not made by {1}", `write by = "tap", or by = "bore" for a threading tool`},
	"tap-starts":               {"{0} has {1} starts and is not tapped", `write by = "bore": a threading tool cuts one after the other`},
	"tap-no-thread":            {"bore {0} is tapped but has no thread", `write thread = "M6" instead of its diameter, or another by`},
	"tap-deep":                 {"{0} tapped {1} deep needs a hole of {2}, and with a drill's point of {3} no floor is left in a part of {4}", "write through = true, or make it shallower or the part longer: the tapered end of the tap needs the room"},
	"no-recess":                {"bore {0}, {1}, ends without a recess for the threading tool", `write recess = "regular", which for a pitch of {2} is {3} to {4} wide by {5}, or by = "tap" with its depth of full thread, or runout = "DIN 76", cut by the hand crank`},
	"no-recess-own":            {"bore {0}, {1}, ends without a recess for the threading tool", `write recess = { width = "{2}", diameter = "{3}" }: DIN 76-1 has none for a pitch of {4}; or runout = "{2}" for a thread that fades out, cut by the hand crank`},
	"recess-not-here":          {"bore {0} has a recess but no thread that runs out into it", "leave recess out: only a thread cut to a depth with a threading tool needs one"},
	"recess-form":              {"recess: {0}", "{1}"},
	"recess-narrow":            {"a recess of {0} is narrower than one pitch of {1}", "make it at least {2} wide, better four pitches"},
	"recess-shallow":           {"a recess of {0} diameter is not behind the root of {1}", "make it {2} or more"},
	"recess-wide":              {"a recess of up to {0} leaves no thread in a bore {1} deep for {2}", "make the bore deeper or the recess narrower"},

	// The second setting.
	"second-centre":          {"a part held on a centre is not turned round in the same plan", "hold it in the chuck alone with a shorter stick-out, or make its other end by a job of its own"},
	"second-saw-face":        {"{0} is too little behind a saw", "leave {1} or more, or part it off"},
	"second-quantity":        {"{0} parts with a second setting are not planned together", "leave quantity out and follow the plan for each part"},
	"second-run-out":         {"a three-jaw chuck does not hold to {0}, {1} is what it does", `write by = "four-jaw chuck", "soft jaws" or "expanding mandrel", or allow {1}`},
	"second-held":            {"the part has no \"{0}\" to be held by", "write one of {1}"},
	"second-held-thread":     {"{0} is a thread, {1}: jaws spoil it", "hold it by a plain section"},
	"second-held-last":       {"{0} is at the end that is worked on", "hold it by a section nearer to the first end"},
	"second-held-short":      {"the jaws hold {1} of {0}, less than a third of its {2}", "hold it by a section at least {3} long, or on a mandrel"},
	"second-no-bore":         {"a mandrel goes through a bore, and the part has none", "hold it in soft jaws or in a four-jaw chuck"},
	"second-mandrel-blind":   {"{0} does not go through", "hold it in soft jaws or in a four-jaw chuck, or on a bore that goes through"},
	"second-mandrel-slender": {"a mandrel in {0}, {1}, stands out {2} with the part on it, more than {3} times its thickness", "hold it in soft jaws or in a four-jaw chuck, or bore it larger"},
	"second-chamfer":         {"chamfer stands beside a section of the second setting", "write it below that [[second.section]]"},
	"second-as-bar":          {"section {0} of the second setting is left as the bar", "leave it out: only what is turned is written"},
	"second-long":            {"the second setting turns {0} of {1}, which is {2} long", "at most {3}: a shoulder stays behind it, and on a mandrel the whole of a part of one section"},
	"second-wall":            {"section {0} of the second setting leaves a wall of {1} over bore {2}, {3}", "make it {4} or larger"},
	"overall-sum":            {"overall is {0}, and the sections together are {1}", "make the sections and the length over all agree"},
	"overall-not-cut":        {"nothing here cuts the far end to a length over all", "leave part_off out, or leave overall out"},

	// The lathe.
	"wheel":            {"a wheel of {0} teeth is none that can be worked with", "give tooth counts from 8 to 300"},
	"wheels":           {"wheels lists {0}", "a train needs at least two: list every wheel there is, two of a size as two entries"},
	"banjo":            {"module is {0}", "{1}"},
	"banjo-order":      {"{0} is {1} and {2} is {3}", "give the smaller one as {0}"},
	"ratio":            {`{0}: "{1}" is no ratio above zero`, `write one such as {0} = "1/2" or {0} = "127/120"`},
	"mounted":          {"{0}", "{1}"},
	"bad-angle":        {`{0}: "{1}" is no angle`, `write one such as {0} = "30 deg"`},
	"surface-speed":    {`{0}: "{1}" is no cutting speed`, `write one such as {0} = "30 m/min" or {0} = "100 ft/min"`},
	"kc":               {`{0}: "{1}" is no specific cutting force`, `write one such as {0} = "2220 N/mm2"`},
	"material-twice":   {"material {0} is there twice", "keep one of the two"},
	"material-count":   {"there are more than {0} materials", "leave out those that are not used"},
	"divisions-odd":    {"{0} marked on {1} divisions is {2} a division, which no ring has", "count the lines of one whole turn, or give what the ring says for one turn as marked"},
	"dial-marked":      {"the ring says {0} per turn and the slide moves {1}", "{2}"},
	"dial":             {"{0}", "{1}"},
	"speeds-order":     {"min is {0} and max is {1}", "give the slower one as min"},
	"speed-twice":      {"{0} is there twice", "keep one of the two"},
	"no-speeds":        {"speeds is an empty list", "write speeds = [70, 115, 200] in turns per minute, or speeds = { min = 50, max = 2000 }"},
	"power":            {`{0}: "{1}" is no power`, `write one such as "750 W", "1.1 kW" or "1 hp"`},
	"time":             {`{0}: "{1}" is no time`, `write one such as "0.6 s" or "600 ms"`},
	"coast-both":       {"{0} stands beside time", "give time for an electronic brake, or turns and at for a spindle that runs down"},
	"coarse-feed":      {"a power feed of {0} is coarser than the leadscrew of {1}", "a power feed is the travel per turn of the spindle: is the unit right?"},
	"no-tool":          {"the lathe has no tool", `write [[tool]] with kind = "turning", and one for every other tool there is`},
	"tool-key":         {"a {0} tool has no {1}", "leave {1} out: it belongs to {2}"},
	"tool-tip":         {"{0}", "{1}"},
	"order":            {"{0} is {1} and {2} is {3}", "give the smaller one as {0}"},
	"steady-twice":     {"the {0} steady is there twice", "keep one of the two"},
	"measure-count":    {"there are more than {0} measuring tools", "leave out those that are not used"},
	"measure-key":      {"a {0} has no {1}", "leave {1} out: it belongs to {2}"},
	"gauge-thread":     {"thread: {0}", "{1}"},
	"tip-share":        {`tip "{0}" is a share of the pitch`, `a tool at hand has one size: write one such as tip = "radius 0.15 mm"`},
	"tap-thread":       {"thread: {0}", "{1}"},
	"reach-of-nothing": {"a blade {0} wide cannot reach {1}", "its reach is how far it stands out of its holder, up to eight widths"},
}

// words fills in a wording.
func (w wording) words(args []string) (what, hint string) {
	pairs := make([]string, 0, 2*len(args))
	for i, a := range args {
		pairs = append(pairs, "{"+strconv.Itoa(i)+"}", a)
	}
	r := strings.NewReplacer(pairs...)
	return r.Replace(w.what), r.Replace(w.hint)
}

// parted is an error of a calculation, "what: what to write instead", in its two
// parts; without a second part it is other.
func parted(err error, other string) (what, hint string) {
	s := err.Error()
	quoted := false
	for i := 0; i < len(s); i++ {
		switch {
		case s[i] == '\\' && quoted:
			i++
		case s[i] == '"':
			quoted = !quoted
		case !quoted && strings.HasPrefix(s[i:], ": "):
			return s[:i], s[i+2:]
		}
	}
	return s, other
}
