# Completes felt-engine in fish, 3 or newer. Made by: python -m felt_engine.completion --write

function __felt_engine_at -d 'Whether this command was given, and from so many to so many words'
    set -l valued 'check --as' 'check --to' 'check --stop-at' 'check --studio' 'check --known' 'check --write-known' 'check --rule-file' 'check --called' 'check --processes' 'check --keep' 'resize --times' 'resize --laid-out' 'resize --finished' 'resize --have' 'resize --notebook' 'resize --pieces' 'resize --studio' 'resize --to' 'forecast --notebook' 'forecast --without' 'forecast --finished' 'forecast --studio' 'forecast --as' 'forecast --to' 'rows --tuft' 'rows --studio' 'swatches --without' 'swatches --studio' 'rules --studio' 'rules --rule-file' 'new-plugin --to'
    set -l command ''
    set -l count 0
    set -l only
    set -l skip
    set -l words (commandline -opc)
    set -e words[1]
    for word in $words
        if set -q skip[1]
            set skip
        else if not set -q only[1]; and test "x$word" = x--
            set only yes
        else if not set -q only[1]; and string match -qr -- '^-.' $word
            contains -- "$command $word" $valued; and set skip yes
        else if test -z "$command"
            set command $word
        else
            set count (math $count + 1)
        end
    end
    test "$command" = "$argv[1]"; or return 1
    not set -q argv[2]; or test $count -ge $argv[2] -a $count -le $argv[3]
end

function __felt_engine_paths -d 'Folders, and files that end so'
    set -l typed (commandline -ct | string replace -r -- '^--[a-z-]+=' '')
    complete -C "'' $typed" | string match -er -- "(?i)(?:/$argv[1])(?:\t|\$)"
end

complete -c felt-engine -f
complete -c felt-engine -n '__felt_engine_at ""' -a check -d 'judge recipes'
complete -c felt-engine -n '__felt_engine_at ""' -a resize -d 'the same design at another size'
complete -c felt-engine -n '__felt_engine_at ""' -a forecast -d 'how large it comes out'
complete -c felt-engine -n '__felt_engine_at ""' -a rows -d 'rows and tufts of each layer'
complete -c felt-engine -n '__felt_engine_at ""' -a swatches -d 'what your swatches teach'
complete -c felt-engine -n '__felt_engine_at ""' -a rules -d 'what is looked at'
complete -c felt-engine -n '__felt_engine_at ""' -a new-plugin -d 'a package for rules of your own'
complete -c felt-engine -n '__felt_engine_at ""' -s h -l help -d 'show this help message and exit'
complete -c felt-engine -n '__felt_engine_at ""' -l version -d 'show the release, and end'
complete -c felt-engine -n '__felt_engine_at check' -s h -l help -d 'show this help message and exit'
complete -c felt-engine -n '__felt_engine_at check' -l as -d 'how to write the report' -x -a 'json junit markdown page sarif text'
complete -c felt-engine -n '__felt_engine_at check' -l to -d 'write to this file, not to the terminal' -r -F
complete -c felt-engine -n '__felt_engine_at check' -l stop-at -d 'lowest level that makes the exit status 1' -x -a 'fault caution note'
complete -c felt-engine -n '__felt_engine_at check' -l studio -d 'the house\'s own numbers' -x -a 'none (__felt_engine_paths "|\\.yaml|\\.yml|\\.json")'
complete -c felt-engine -n '__felt_engine_at check' -l known -d 'a file of known findings' -r -F
complete -c felt-engine -n '__felt_engine_at check' -l write-known -d 'write the findings of this run to a file of known findings' -r -F
complete -c felt-engine -n '__felt_engine_at check' -l rule-file -d 'also load the rules' -x -a '(__felt_engine_paths "|\\.py")'
complete -c felt-engine -n '__felt_engine_at check' -l called -d 'what the recipe on standard input is called' -x
complete -c felt-engine -n '__felt_engine_at check' -l processes -d 'how many processes judge side by side, or' -x
complete -c felt-engine -n '__felt_engine_at check' -l keep -d 'keep results in this folder, by content, and take from it what hasn’t changed' -x -a '(__felt_engine_paths "")'
complete -c felt-engine -n '__felt_engine_at check 0 9999' -a '(__felt_engine_paths "|\\.yaml|\\.yml|\\.json")'
complete -c felt-engine -n '__felt_engine_at resize' -s h -l help -d 'show this help message and exit'
complete -c felt-engine -n '__felt_engine_at resize' -l times -d 'each side so many times as long' -x
complete -c felt-engine -n '__felt_engine_at resize' -l laid-out -d 'size of the layout, before felting' -x
complete -c felt-engine -n '__felt_engine_at resize' -l finished -d 'size wanted after felting' -x
complete -c felt-engine -n '__felt_engine_at resize' -l have -d 'as large as this much of a lot allows, all pieces' -x
complete -c felt-engine -n '__felt_engine_at resize' -l notebook -d 'swatches that tell the layout for a finished size, where the recipe has none of its own' -x -a '(__felt_engine_paths "|\\.yaml|\\.yml|\\.json")'
complete -c felt-engine -n '__felt_engine_at resize' -l pieces -d 'how many pieces are made' -x
complete -c felt-engine -n '__felt_engine_at resize' -l studio -d 'the studio file' -x -a 'none (__felt_engine_paths "|\\.yaml|\\.yml|\\.json")'
complete -c felt-engine -n '__felt_engine_at resize' -l to -d 'write the new recipe to this file' -r -F
complete -c felt-engine -n '__felt_engine_at resize 0 0' -a '(__felt_engine_paths "|\\.yaml|\\.yml|\\.json")'
complete -c felt-engine -n '__felt_engine_at forecast' -s h -l help -d 'show this help message and exit'
complete -c felt-engine -n '__felt_engine_at forecast' -l notebook -d 'your swatches' -x -a '(__felt_engine_paths "|\\.yaml|\\.yml|\\.json")'
complete -c felt-engine -n '__felt_engine_at forecast' -l without -d 'leave this swatch out' -x
complete -c felt-engine -n '__felt_engine_at forecast' -l finished -d 'finished size that is wanted' -x
complete -c felt-engine -n '__felt_engine_at forecast' -l studio -d 'the studio file' -x -a 'none (__felt_engine_paths "|\\.yaml|\\.yml|\\.json")'
complete -c felt-engine -n '__felt_engine_at forecast' -l as -d 'text (as if left out) or json' -x -a 'text json'
complete -c felt-engine -n '__felt_engine_at forecast' -l to -d 'write to this file' -r -F
complete -c felt-engine -n '__felt_engine_at forecast 0 0' -a '(__felt_engine_paths "|\\.yaml|\\.yml|\\.json")'
complete -c felt-engine -n '__felt_engine_at rows' -s h -l help -d 'show this help message and exit'
complete -c felt-engine -n '__felt_engine_at rows' -l tuft -d 'a tuft\'s size where the recipe says none' -x
complete -c felt-engine -n '__felt_engine_at rows' -l studio -d 'the studio file' -x -a 'none (__felt_engine_paths "|\\.yaml|\\.yml|\\.json")'
complete -c felt-engine -n '__felt_engine_at rows 0 0' -a '(__felt_engine_paths "|\\.yaml|\\.yml|\\.json")'
complete -c felt-engine -n '__felt_engine_at swatches' -s h -l help -d 'show this help message and exit'
complete -c felt-engine -n '__felt_engine_at swatches' -l without -d 'leave this swatch out' -x
complete -c felt-engine -n '__felt_engine_at swatches' -l studio -d 'the studio file' -x -a 'none (__felt_engine_paths "|\\.yaml|\\.yml|\\.json")'
complete -c felt-engine -n '__felt_engine_at swatches 0 0' -a '(__felt_engine_paths "|\\.yaml|\\.yml|\\.json")'
complete -c felt-engine -n '__felt_engine_at rules' -s h -l help -d 'show this help message and exit'
complete -c felt-engine -n '__felt_engine_at rules' -l studio -d 'show the limits as this studio file sets them, and who set each' -x -a 'none (__felt_engine_paths "|\\.yaml|\\.yml|\\.json")'
complete -c felt-engine -n '__felt_engine_at rules' -l rule-file -d 'also load the rules' -x -a '(__felt_engine_paths "|\\.py")'
complete -c felt-engine -n '__felt_engine_at rules 0 0' -a 'below-scale cautions-printed cut-off-layer direction-balance edge-finish halo-clash luster-carrier order-of-work rows-and-laps sizes-agree stated-totals thin-layer tools-fit treated-wool uneven-shrinking uneven-working unit-slip weight-for-use'
complete -c felt-engine -n '__felt_engine_at new-plugin' -s h -l help -d 'show this help message and exit'
complete -c felt-engine -n '__felt_engine_at new-plugin' -l to -d 'the folder to write it to, new or empty' -x -a '(__felt_engine_paths "")'
