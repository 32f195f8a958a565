package cutting

// published is the cutting speeds in metres per minute: range and starting value
// for a small, not very stiff lathe with a brush of oil. Turning and drilling are
// from published tables; threading and parting are a quarter to a half and a third
// to a half of the turning start (0.4 to 0.7 with carbide), reaming a third to a
// half of drilling (common practice). Handbook values presume a stiff machine and
// run higher.
var published = map[string]map[Tool]map[Op]mmin{
	"free_steel": {
		HSS:     {Turn: {40, 70, 45}, Thread: {11.2, 22, 14.9}, Part: {14.9, 22, 18.0}, Drill: {25, 35, 28}, Ream: {8.2, 17.5, 11.2}},
		Carbide: {Turn: {120, 250, 150}, Thread: {60, 105, 75}, Part: {60, 105, 75}},
	},
	"mild_steel": {
		HSS:     {Turn: {25, 45, 30}, Thread: {7.5, 15.0, 9.9}, Part: {9.9, 15.0, 12.0}, Drill: {21, 30, 24}, Ream: {6.9, 15.0, 9.5}},
		Carbide: {Turn: {90, 200, 110}, Thread: {44, 77, 55}, Part: {44, 77, 55}},
	},
	"medium_carbon": {
		HSS:     {Turn: {20, 38, 25}, Thread: {6.2, 12.5, 8.2}, Part: {8.2, 12.5, 10.0}, Drill: {18, 24, 19.8}, Ream: {5.9, 12.0, 7.9}},
		Carbide: {Turn: {80, 180, 100}, Thread: {40, 70, 50}, Part: {40, 70, 50}},
	},
	"4140_annealed": {
		HSS:     {Turn: {18, 35, 22}, Thread: {5.5, 11.0, 7.3}, Part: {7.3, 11.0, 8.8}, Drill: {12, 18, 13.8}, Ream: {4.0, 9.0, 5.5}},
		Carbide: {Turn: {70, 150, 90}, Thread: {36, 63, 45}, Part: {36, 63, 45}},
	},
	"4140_prehard": {
		HSS:     {Turn: {10, 20, 14}, Thread: {3.5, 7.0, 4.6}, Part: {4.6, 7.0, 5.6}, Drill: {6, 12, 7.8}, Ream: {2.0, 6.0, 3.1}},
		Carbide: {Turn: {50, 120, 70}, Thread: {28, 49, 35}, Part: {28, 49, 35}},
	},
	"ss303": {
		HSS:     {Turn: {15, 30, 20}, Thread: {5.0, 10.0, 6.6}, Part: {6.6, 10.0, 8.0}, Drill: {12, 24, 15.6}, Ream: {4.0, 12.0, 6.2}},
		Carbide: {Turn: {55, 110, 70}, Thread: {28, 49, 35}, Part: {28, 49, 35}},
	},
	"ss304": {
		HSS:     {Turn: {10, 22, 15}, Thread: {3.8, 7.5, 5.0}, Part: {5.0, 7.5, 6.0}, Drill: {8, 15, 10.1}, Ream: {2.6, 7.5, 4.0}},
		Carbide: {Turn: {45, 90, 55}, Thread: {22, 38, 28}, Part: {22, 38, 28}},
	},
	"grey_iron": {
		HSS:     {Turn: {15, 28, 18}, Thread: {4.5, 9.0, 5.9}, Part: {5.9, 9.0, 7.2}, Drill: {15, 30, 19.5}, Ream: {5.0, 15.0, 7.8}},
		Carbide: {Turn: {60, 120, 75}, Thread: {30, 52, 38}, Part: {30, 52, 38}},
	},
	"brass": {
		HSS:     {Turn: {60, 120, 75}, Thread: {18.8, 38, 25}, Part: {25, 38, 30}, Drill: {45, 75, 54}, Ream: {14.9, 38, 22}},
		Carbide: {Turn: {150, 300, 180}, Thread: {72, 126, 90}, Part: {72, 126, 90}},
	},
	"bronze": {
		HSS:     {Turn: {18, 36, 25}, Thread: {6.2, 12.5, 8.2}, Part: {8.2, 12.5, 10.0}, Drill: {21, 45, 28}, Ream: {6.9, 22, 11.3}},
		Carbide: {Turn: {90, 180, 110}, Thread: {44, 77, 55}, Part: {44, 77, 55}},
	},
	"copper": {
		HSS:     {Turn: {25, 60, 35}, Thread: {8.8, 17.5, 11.6}, Part: {11.6, 17.5, 14.0}, Drill: {20, 45, 28}, Ream: {6.6, 22, 11.0}},
		Carbide: {Turn: {100, 250, 140}, Thread: {56, 98, 70}, Part: {56, 98, 70}},
	},
	"al6061": {
		HSS:     {Turn: {75, 200, 100}, Thread: {25, 50, 33}, Part: {33, 50, 40}, Drill: {60, 90, 69}, Ream: {19.8, 45, 28}},
		Carbide: {Turn: {200, 500, 250}, Thread: {100, 175, 125}, Part: {100, 175, 125}},
	},
	"al7075": {
		HSS:     {Turn: {60, 180, 90}, Thread: {22, 45, 30}, Part: {30, 45, 36}, Drill: {50, 80, 59}, Ream: {16.5, 40, 24}},
		Carbide: {Turn: {180, 450, 220}, Thread: {88, 154, 110}, Part: {88, 154, 110}},
	},
	"acetal": {
		HSS:     {Turn: {50, 150, 90}, Thread: {22, 45, 30}, Part: {30, 45, 36}, Drill: {30, 75, 44}, Ream: {9.9, 38, 17.4}},
		Carbide: {Turn: {150, 350, 200}, Thread: {80, 140, 100}, Part: {80, 140, 100}},
	},
	"nylon": {
		HSS:     {Turn: {50, 150, 80}, Thread: {20, 40, 26}, Part: {26, 40, 32}, Drill: {30, 60, 39}, Ream: {9.9, 30, 15.6}},
		Carbide: {Turn: {150, 300, 180}, Thread: {72, 126, 90}, Part: {72, 126, 90}},
	},
	"ti64": {
		HSS:     {Turn: {8, 15, 10}, Thread: {2.5, 5.0, 3.3}, Part: {3.3, 5.0, 4.0}, Drill: {5, 9, 6.2}, Ream: {1.7, 4.5, 2.5}},
		Carbide: {Turn: {30, 60, 40}, Thread: {16.0, 28, 20}, Part: {16.0, 28, 20}},
	},
}
