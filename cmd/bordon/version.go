package main

import (
	"runtime/debug"

	"github.com/spf13/cobra"

	"bordon/listen/audio"
)

// version is what a release is called; the linker sets it.
var version string

// addVersion gives root the flag --version.
func addVersion(root *cobra.Command) {
	root.Version = versionOf(debug.ReadBuildInfo())
	root.Flags().Bool("version", false, "say which version this is, and whether it has a microphone")
	kind := language.Usage("withMicrophone", "with a microphone")
	if !audio.HasDevices {
		kind = language.Usage("withoutMicrophone", "without a microphone: it judges recordings")
	}
	root.SetVersionTemplate("bordon {{.Version}}, " + kind + "\n")
}

// versionOf is what the linker was told, else what Go knows of the checkout.
func versionOf(built *debug.BuildInfo, ok bool) string {
	switch {
	case version != "":
		return version
	case ok && built.Main.Version != "":
		return built.Main.Version
	}
	return "(devel)"
}
