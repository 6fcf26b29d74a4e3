package words

import "counterpoise/sim/muscle"

// plainly are the groups of muscles as a coach names what gives out.
var plainly = [muscle.NumGroups]string{
	muscle.ShoulderAdduction: "shoulders (drawing the arm down to the side)", muscle.ShoulderAbduction: "shoulders (lifting the arm sideways)",
	muscle.ShoulderFlexion: "shoulders (lifting the arm forwards)", muscle.ShoulderExtension: "shoulders (bringing the arm down from the front)",
	muscle.ElbowFlexion: "elbows (bending)", muscle.ElbowExtension: "elbows (straightening)",
	muscle.WristFlexion: "wrists", muscle.WristExtension: "wrists (bending back)",
	muscle.WaistSideways: "side of the trunk", muscle.WaistForward: "front of the trunk", muscle.WaistBackward: "back of the trunk",
	muscle.HipFlexion: "hips (lifting the thigh)", muscle.HipExtension: "hips (straightening)", muscle.HipAbduction: "hips (sideways)",
	muscle.Grip: "grip", muscle.ArmPush: "push along the arm", muscle.ArmPull: "pull along the arm",
}

// GroupPlainly names a group of muscles as a coach does.
func GroupPlainly(g muscle.Group) string { return plainly[g] }
